import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openRegister } from '../../src-main/register/register.ts';
import { seeded } from '../engine/attribution/scene.ts';
import { bundledChild } from './bundled-child.ts';
import { folder, freshRegister, options } from './scene.ts';

/** Runs the child until it has been alive for some time after its first acknowledgement, then kills it without warning. */
async function runAndKill(script: string, path: string, seed: number, afterMs: number): Promise<string[]> {
  const child = spawn(process.execPath, [script, path, String(seed)], { stdio: ['ignore', 'pipe', 'inherit'] });
  let text = '';
  const signal = await new Promise<string | null>((resolve) => {
    child.stdout.on('data', (chunk: Buffer) => {
      if (text === '') setTimeout(() => child.kill('SIGKILL'), afterMs);
      text += chunk.toString();
    });
    child.on('close', (_, by) => resolve(by));
  });
  expect(signal).toBe('SIGKILL'); // not an error of its own
  // a line that was cut in the middle was not acknowledged
  return text.split('\n').slice(0, -1);
}

test('a hundred kills at random moments of import and edit, two programs at work at once, lose nothing that was acknowledged', async () => {
  const script = await bundledChild('kill-child');
  const { path } = freshRegister();
  const { uniform } = seeded(17);
  const acknowledged: string[] = [];
  const lane = async (first: number): Promise<void> => {
    for (let seed = first; seed < 100; seed += 2)
      acknowledged.push(...(await runAndKill(script, path, seed, 40 * uniform())));
  };
  await Promise.all([lane(0), lane(1)]);

  const register = openRegister(path, options);
  expect(register.check()).toEqual([]);
  const kept = new Set(register.history(1e9, null).map((entry) => `${entry.id}\t${entry.summary}`));
  expect(acknowledged.filter((line) => !kept.has(line))).toEqual([]);
  expect(acknowledged.length).toBeGreaterThanOrEqual(100);
  expect(acknowledged.some((line) => line.includes('took in capture'))).toBe(true);
  register.close();
}, 120_000);

test('killed while it makes registers, a program leaves whole ones or none', async () => {
  const script = await bundledChild('create-child');
  const place = folder();
  const { uniform } = seeded(18);
  const made: string[] = [];
  for (let run = 0; run < 10; run++) made.push(...(await runAndKill(script, place, run, 60 * uniform())));
  const there = readdirSync(place).filter((name) => /^r.*\.spurledger$/.test(name));
  expect(made.filter((name) => !there.includes(name))).toEqual([]);
  expect(made.length).toBeGreaterThanOrEqual(10);
  for (const name of there) {
    const register = openRegister(join(place, name), options);
    expect(register.facts()).toMatchObject({ title: name, undoSummary: null });
    register.close();
  }
}, 60_000);
