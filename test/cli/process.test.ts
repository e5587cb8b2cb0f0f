import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { comb, smallCapture } from '../api/small-capture.ts';
import { folderWith } from './in-process.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const CLI = join(ROOT, 'src-main', 'cli.ts');

async function cli(words: readonly string[], options: { cwd: string; env?: NodeJS.ProcessEnv }) {
  const env = { PATH: process.env['PATH'], ...options.env };
  const run = promisify(execFile)(process.execPath, [CLI, ...words], { ...options, env, maxBuffer: 64 * 1024 * 1024 });
  try {
    return { status: 0, ...(await run) };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { status: code, stdout, stderr };
  }
}

test('the program ends with the status of the call: 0 done, 2 wrong call, 3 refused input', async () => {
  const cwd = folderWith({ 'a.csv': smallCapture({ lines: comb(303_000, 25) }) });
  const [done, wrong, refused] = await Promise.all([
    cli(['triage', 'a.csv', '--json'], { cwd }),
    cli(['look'], { cwd }),
    cli(['triage', 'gone.csv', 'a.csv', '--json'], { cwd }),
  ]);
  expect(done.status, done.stderr).toBe(0);
  expect(JSON.parse(done.stdout)).toMatchObject({ captures: [{ file: 'a.csv' }] });
  expect(wrong.status).toBe(2);
  expect(wrong.stderr).toContain('unknown command');
  expect(refused.status).toBe(3);
  expect(JSON.parse(refused.stdout)).toMatchObject({ captures: [{ file: 'a.csv' }], problems: [{ file: 'gone.csv' }] });
});

test('started by npm, relative names mean the folder the user stood in', async () => {
  const folder = folderWith({ 'a.csv': smallCapture({ points: 200 }) });
  const env = { INIT_CWD: folder, npm_package_json: join(ROOT, 'package.json') };
  const { status, stdout } = await cli(['read', 'a.csv', '--json'], { cwd: ROOT, env });
  expect(status).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject({ captures: [{ file: 'a.csv' }] });
});

test('a document of megabytes arrives whole through a pipe', async () => {
  const cwd = folderWith({ 'a.csv': smallCapture({ lines: comb(11_000, 30) }) });
  const files = Array.from({ length: 12 }, () => 'a.csv');
  const { status, stdout } = await cli(['triage', ...files, '--json'], { cwd });
  expect(status).toBe(0);
  expect(stdout.length).toBeGreaterThan(1_000_000);
  expect((JSON.parse(stdout) as { captures: unknown[] }).captures).toHaveLength(12);
});
