import { chmodSync, copyFileSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MIGRATIONS } from '../../src-main/register/migrate.ts';
import { createRegister, openRegister } from '../../src-main/register/register.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';
import { letterOf } from '../../src-main/register/source-letter.ts';
import { aState, capture, folder, freshRegister, options, reopen, source, take } from './scene.ts';

const codeOf = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof RegisterError) return error.code;
    throw error;
  }
  return 'nothing was refused';
};

describe('a register file', () => {
  test('is in WAL with full synchronisation, foreign keys on, and says its title and version', () => {
    const register = freshRegister();
    const db = new SqliteDatabase(register.path);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    db.close();
    expect(register.facts()).toMatchObject({
      title: 'Build',
      isInvented: false,
      schemaVersion: MIGRATIONS.length,
      captures: 0,
    });
  });

  test('keeps everything over closing and opening', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    const { capture: kept } = take(register, 'a.csv');
    const again = reopen(register);
    expect(again.sources.list()).toMatchObject([{ letter: 'A', order: 0, source: source('U1') }]);
    expect(again.captures.trace(kept.id, 0)).toEqual(capture('a.csv').capture.traces[0]);
    expect(again.captures.bytes(kept.id)).toEqual(capture('a.csv').bytes);
  });

  test('notices the same capture a second time and adds nothing', () => {
    const register = freshRegister();
    const first = take(register, 'a.csv');
    const second = take(register, 'a.csv');
    expect(second.alreadyKnown).toBe(true);
    expect(second.capture.id).toBe(first.capture.id);
    expect(register.captures.list()).toHaveLength(1);
    expect(register.history(10, null)).toHaveLength(1);
  });

  test('finds a byte of a trace that changed on the disk', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    const db = new SqliteDatabase(register.path);
    const row = db.prepare('SELECT sha256, bytes FROM blob ORDER BY length(bytes) DESC LIMIT 1').get() as {
      sha256: string;
      bytes: Buffer;
    };
    row.bytes[20]! ^= 1;
    db.prepare('UPDATE blob SET bytes = ? WHERE sha256 = ?').run(row.bytes, row.sha256);
    db.close();
    expect(codeOf(() => register.captures.trace(kept.id, 0))).toBe('damaged');
  });

  test('is noticed to have been changed by another connection, once', () => {
    const register = freshRegister();
    const other = reopen(register);
    expect(register.changedElsewhere()).toBe(false);
    other.sources.put(source('U1'), null);
    expect(register.changedElsewhere()).toBe(true);
    expect(register.changedElsewhere()).toBe(false);
    expect(register.sources.list()).toHaveLength(1);
  });
});

describe('a full disk', () => {
  test('refuses the change and keeps what was there', () => {
    const register = freshRegister();
    take(register, 'a.csv');
    const db = (register as unknown as { db: SqliteDatabase.Database }).db;
    db.pragma(`max_page_count = ${db.pragma('page_count', { simple: true }) as number}`);
    let refused = '';
    for (let i = 0; i < 50 && refused === ''; i++) {
      const code = codeOf(() => take(register, `big${i}.csv`, i));
      if (code !== 'nothing was refused') refused = code;
    }
    expect(refused).toBe('disk-full');
    expect(codeOf(() => register.captures.trace(register.captures.list()[0]!.id, 0))).toBe('nothing was refused');
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
  });
});

describe('what others rest on cannot be removed', () => {
  test('a state with captures, a later state, a fix; a point with captures; a source that feeds or clocks; a capture with decisions', () => {
    const register = freshRegister();
    const s0 = register.states.put(null, aState('S0'));
    const s1 = register.states.put(null, aState('S1', s0.id));
    const point = register.points.put(null, {
      name: 'port',
      kind: 'receiver-port',
      where: '',
      coupling: '',
      conductors: '',
      orientation: '',
      heightM: null,
      bonding: '',
      notes: '',
    });
    const { capture: kept } = take(register, 'a.csv');
    register.captures.assign([kept.id], { stateId: s1.id, pointId: point.id });
    register.sources.put(source('XO'), null);
    register.sources.put(source('A', { lock: { to: 'XO', numerator: 1, denominator: 2 } }), null);
    register.sources.put(source('B', { fedBy: 'A' }), null);
    register.decisions.put(null, {
      captureId: kept.id,
      frequencyHz: 1e6,
      kind: 'note',
      source: null,
      harmonic: null,
      note: 'n',
      by: 'me',
      at: '2026-01-01T00:00:00Z',
    });
    for (const act of [
      () => register.states.remove(s0.id),
      () => register.states.remove(s1.id),
      () => register.points.remove(point.id),
      () => register.sources.remove('XO'),
      () => register.sources.remove('A'),
      () => register.captures.remove([kept.id]),
    ])
      expect(codeOf(act)).toBe('refused');
    register.sources.remove('B');
    register.sources.remove('A');
    expect(register.sources.list().map((entry) => entry.source.designator)).toEqual(['XO']);
  });
});
