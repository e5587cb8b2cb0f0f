import { spawn } from 'node:child_process';
import { join } from 'node:path';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { MIGRATIONS } from '../../src-main/register/migrate.ts';
import type { Register } from '../../src-main/register/register.ts';
import { aState, capture, codeOf, freshRegister, reopen, source, take } from './scene.ts';

describe('a register', () => {
  test('says its title, version, counts and when something was last kept', () => {
    const register = freshRegister();
    const made = register.facts();
    expect(made).toMatchObject({ title: 'Build', isInvented: false, schemaVersion: MIGRATIONS.length, captures: 0 });
    take(register, 'a.csv');
    register.states.put(null, aState('S0'));
    const facts = register.facts();
    expect(facts).toMatchObject({ captures: 1, sources: 0, states: 1, undoSummary: 'added state S0' });
    expect(facts.keptAt > made.keptAt).toBe(true);
    expect(facts.keptAt).toBe(register.history(1, null)[0]!.at);
  });

  test('keeps everything over closing and opening', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.settings.put('title', 'Balloon');
    register.settings.put('thresholds', { claimChance: 1e-4, list: [1, null, 'x'] });
    const { capture: kept } = take(register, 'a.csv');
    const again = reopen(register);
    expect(again.facts().title).toBe('Balloon');
    expect(again.settings.get('thresholds')).toEqual({ claimChance: 1e-4, list: [1, null, 'x'] });
    expect(again.settings.get('never set')).toBeNull();
    expect(again.sources.list()).toMatchObject([{ letter: 'A', order: 0, source: source('U1') }]);
    expect(again.captures.trace(kept.id, 0)).toEqual(capture('a.csv').capture.traces[0]);
    expect(again.captures.bytes(kept.id)).toEqual(capture('a.csv').bytes);
  });

  test('a byte of a trace that changed on the disk is found when it is read, and the capture is named', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    const db = new SqliteDatabase(register.path);
    const row = db.prepare("SELECT sha256, bytes FROM blob WHERE packing = 'none' LIMIT 1").get() as {
      sha256: string;
      bytes: Buffer;
    };
    row.bytes[20]! ^= 1;
    db.prepare('UPDATE blob SET bytes = ? WHERE sha256 = ?').run(row.bytes, row.sha256);
    db.close();
    expect(codeOf(() => register.captures.trace(kept.id, 0))).toBe('damaged');
    expect(() => register.captures.trace(kept.id, 0)).toThrow(/build\.spurledger, capture a\.csv, trace 1/);
  });
});

describe('two windows on one register', () => {
  test('each sees what the other kept, and is told once that something changed', () => {
    const register = freshRegister();
    const other = reopen(register);
    expect(register.changedElsewhere()).toBe(false);
    other.sources.put(source('U1'), null);
    expect(register.changedElsewhere()).toBe(true);
    expect(register.changedElsewhere()).toBe(false);
    expect(register.sources.list()).toHaveLength(1);
    register.sources.put(source('U2'), null);
    expect(register.changedElsewhere()).toBe(false); // its own change is no news
    expect(other.changedElsewhere()).toBe(true);
  });

  test('two programs that take in the same files and add sources at the same moment keep each file once and every source', async () => {
    const register = freshRegister();
    const run = (name: string): Promise<number | null> =>
      new Promise((resolve) => {
        const script = join(import.meta.dirname, 'busy-child.ts');
        const child = spawn(process.execPath, [script, register.path, name], { stdio: 'inherit' });
        child.on('close', resolve);
      });
    expect(await Promise.all([run('left'), run('right')])).toEqual([0, 0]);
    expect(register.captures.list()).toHaveLength(20);
    expect(register.sources.list()).toHaveLength(40);
    expect(new Set(register.sources.list().map((entry) => entry.letter)).size).toBe(40);
    expect(register.check()).toEqual([]);
  });
});

describe('a full disk', () => {
  function full(): { register: Register; release: () => void } {
    const register = freshRegister();
    take(register, 'a.csv');
    const { db } = register as unknown as { db: Database };
    const most = db.pragma('max_page_count', { simple: true }) as number;
    db.pragma(`max_page_count = ${db.pragma('page_count', { simple: true }) as number}`);
    return { register, release: () => void db.pragma(`max_page_count = ${most}`) };
  }

  test('refuses a change whole, goes on showing what was there, and takes the change once there is room', () => {
    const { register, release } = full();
    const { capture: made, bytes } = capture('big.csv', 5, 5_000);
    const act = () => register.captures.add(made, bytes, register.captures.list()[0]!.condition, 0);
    const entries = register.history(99, null);
    expect(codeOf(act)).toBe('disk-full');
    expect(register.captures.list().map(({ file }) => file)).toEqual(['a.csv']);
    expect(register.captures.trace(1, 0).level).toHaveLength(200);
    expect(register.history(99, null)).toEqual(entries);
    expect(register.check()).toEqual([]);
    release();
    expect(act().alreadyKnown).toBe(false);
  });

  test('of a step of many changes keeps none', () => {
    const { register } = full();
    const act = () =>
      register.step(() => {
        for (let i = 0; i < 200; i++) register.sources.put(source(`U${i}`, { notes: 'x'.repeat(500) }), null);
      });
    expect(codeOf(act)).toBe('disk-full');
    expect(register.sources.list()).toEqual([]);
    expect(register.facts().undoSummary).toBe('took in capture a.csv');
  });
});
