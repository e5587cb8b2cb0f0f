import { spawn } from 'node:child_process';
import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { expect, test } from 'vitest';
import { openRegister } from '../../src-main/register/register.ts';
import { seeded } from '../engine/attribution/scene.ts';
import { folder, options } from './scene.ts';

/** Runs the child until it has been alive for some time after its first acknowledgement, then kills it without warning. */
async function runAndKill(path: string, start: number, afterMs: number): Promise<string[]> {
  const child = spawn(process.execPath, [join(import.meta.dirname, 'kill-child.ts'), path, String(start)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let text = '';
  await new Promise<void>((resolve) => {
    child.stdout.on('data', (chunk: Buffer) => {
      if (text === '') setTimeout(() => child.kill('SIGKILL'), afterMs);
      text += chunk.toString();
    });
    child.on('close', () => resolve());
  });
  // a line that was cut in the middle was not acknowledged
  return text
    .slice(0, text.lastIndexOf('\n') + 1)
    .split('\n')
    .filter((line) => line !== '');
}

test('a hundred kills at random moments of import and edit lose nothing that was acknowledged', async () => {
  const path = join(folder(), 'killed.spurledger');
  const { uniform } = seeded(17);
  const sources = new Map<string, number>();
  const captures = new Set<string>();
  const kill = async (round: number): Promise<void> => {
    const start = round * 10_000;
    for (const line of await runAndKill(path, start, 60 * uniform())) {
      const [kind, name] = line.split(' ') as [string, string];
      if (kind === 'capture') captures.add(name);
      else sources.set(name, (kind === 'edit' ? 2000 : 1000) + Number(name.slice(1)));
    }
  };
  for (let round = 0; round < 100; round++) await kill(round);

  const db = new SqliteDatabase(path);
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
  db.close();
  const register = openRegister(path, options);
  const kept = new Map(register.sources.list().map((entry) => [entry.source.designator, entry.source.nominalHz]));
  for (const [name, hz] of sources) {
    const got = kept.get(name);
    // an edit may have been kept without its acknowledgement having come through
    expect(got === hz || got === hz + 1000, `${name}: ${got}`).toBe(true);
  }
  const sums = new Set(register.captures.list().map((entry) => entry.sha256));
  for (const sum of captures) expect(sums.has(sum)).toBe(true);
  expect(captures.size).toBeGreaterThan(100);
  for (const entry of register.captures.list().slice(-20))
    expect(register.captures.trace(entry.id, 0).level).toHaveLength(200);
  register.close();
}, 120_000);
