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

describe('openRegister(path)', () => {
  test.each([
    ['a text file', (path: string) => writeFileSync(path, 'frequency,level\n1,2\n'), 'not-a-register'],
    ['an empty file', (path: string) => writeFileSync(path, ''), 'not-a-register'],
    [
      'a database of another program',
      (path: string) => new SqliteDatabase(path).exec('CREATE TABLE t (a)').close(),
      'not-a-register',
    ],
    ['no file', () => undefined, 'not-found'],
  ])('refuses %s', (_, make, code) => {
    const path = join(folder(), 'x.spurledger');
    make(path);
    expect(codeOf(() => openRegister(path, options))).toBe(code);
  });

  test('refuses a file from a newer version and does not touch it', () => {
    const path = join(folder(), 'new.spurledger');
    createRegister(path, { title: 'x', isInvented: false }, options).close();
    const db = new SqliteDatabase(path);
    db.pragma('user_version = 99');
    db.pragma('journal_mode = DELETE');
    db.close();
    const before = readFileSync(path);
    expect(codeOf(() => openRegister(path, options))).toBe('newer-version');
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('refuses a damaged file: cut off, or with pages overwritten', () => {
    const place = folder();
    const path = join(place, 'd.spurledger');
    const register = createRegister(path, { title: 'x', isInvented: false }, options);
    for (let i = 0; i < 40; i++) take(register, `c${i}.csv`, i);
    register.close();
    const cut = join(place, 'cut.spurledger');
    copyFileSync(path, cut);
    truncateSync(cut, Math.floor(readFileSync(path).length / 2 / 4096) * 4096);
    expect(['damaged', 'not-a-register']).toContain(codeOf(() => openRegister(cut, options)));
    const bytes = readFileSync(path);
    bytes.fill(0xa5, 3 * 4096, 9 * 4096);
    const wild = join(place, 'wild.spurledger');
    writeFileSync(wild, bytes);
    expect(codeOf(() => openRegister(wild, options))).toBe('damaged');
  });

  test('says that a file is held by another program', () => {
    const register = freshRegister();
    const db = new SqliteDatabase(register.path);
    db.exec('BEGIN IMMEDIATE');
    try {
      expect(codeOf(() => register.sources.put(source('U1'), null))).toBe('locked');
    } finally {
      db.exec('ROLLBACK');
      db.close();
    }
    expect(register.sources.list()).toHaveLength(0);
  }, 20_000);

  test.skipIf(process.getuid?.() === 0)('opens a file without the right to write as read-only', () => {
    const path = join(folder(), 'ro.spurledger');
    createRegister(path, { title: 'x', isInvented: false }, options).close();
    chmodSync(path, 0o444);
    const register = openRegister(path, options);
    expect(register.readOnly).toBe(true);
    register.close();
  });

  test('a full disk refuses the change and keeps what was there', () => {
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

  test('createRegister never overwrites a file', () => {
    const register = freshRegister();
    expect(codeOf(() => createRegister(register.path, { title: 'y', isInvented: false }, options))).toBe('exists');
  });
});

describe('migrations', () => {
  test('bring an empty file to the present version step by step', () => {
    const db = new SqliteDatabase(':memory:');
    for (const sql of MIGRATIONS) db.exec(sql);
    const tables = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").pluck().all();
    expect(tables).toEqual([
      'about',
      'band',
      'blob',
      'capture',
      'decision',
      'event',
      'fix',
      'history',
      'point',
      'result',
      'settings',
      'source',
      'spur',
      'state',
      'step',
      'trace',
    ]);
    db.close();
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

describe('sources', () => {
  test('letters are given once and never again', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U2'), null);
    register.sources.remove('U2');
    expect(register.sources.put(source('U3'), null).letter).toBe('C');
    expect([0, 25, 26, 27, 701, 702].map(letterOf)).toEqual(['A', 'Z', 'AA', 'AB', 'ZZ', 'AAA']);
  });

  test('a renamed source takes what is tied to it along, in one step', () => {
    const register = freshRegister();
    register.sources.put(source('XO'), null);
    register.sources.put(source('A', { lock: { to: 'XO', numerator: 1, denominator: 2 }, fedBy: 'XO' }), null);
    register.sources.put(source('CLK'), 'XO');
    expect(register.sources.list()[1]!.source).toMatchObject({ lock: { to: 'CLK' }, fedBy: 'CLK' });
    register.undo();
    expect(register.sources.list()[1]!.source).toMatchObject({ lock: { to: 'XO' }, fedBy: 'XO' });
  });

  test('an import is one step: masters come first in any order, and a bad entry leaves nothing behind', () => {
    const register = freshRegister();
    register.sources.import([source('A', { fedBy: 'BUS' }), source('BUS')], false);
    expect(register.sources.list()).toHaveLength(2);
    expect(codeOf(() => register.sources.import([source('C'), source('D', { fedBy: 'NOBODY' })], false))).toBe(
      'refused',
    );
    expect(register.sources.list()).toHaveLength(2);
    register.undo();
    expect(register.sources.list()).toHaveLength(0);
  });
});

describe('history', () => {
  test('says who, when, what, before and after, and cannot be altered', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U1', { nominalHz: 310e3 }), 'U1');
    const [latest] = register.history(5, null);
    expect(latest).toMatchObject({ who: 'tester', subject: 'source', action: 'change', undoable: true });
    expect(latest!.before).toContain('300000');
    expect(latest!.after).toContain('310000');
    const db = new SqliteDatabase(register.path);
    expect(() => db.exec('UPDATE history SET who = 1')).toThrow(/never changed/);
    expect(() => db.exec('DELETE FROM history')).toThrow(/never deleted/);
    db.close();
  });

  test('undo and redo are entries of their own; a new change leaves what was taken back behind', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.undo();
    expect(register.sources.list()).toHaveLength(0);
    expect(register.facts().redoSummary).toMatch(/U1/);
    register.redo();
    expect(register.sources.list()).toHaveLength(1);
    expect(register.history(9, null).map((entry) => entry.action)).toEqual(['redo', 'undo', 'add']);
    register.undo();
    register.sources.put(source('U2'), null);
    expect(register.facts().redoSummary).toBeNull();
    expect(codeOf(() => register.redo())).toBe('refused');
  });

  test('any sequence of changes taken back ends where it began, and done again ends where it was', () => {
    const act = fc.oneof(
      fc.record({ kind: fc.constant('put' as const), n: fc.nat(3), hz: fc.integer({ min: 1e5, max: 1e6 }) }),
      fc.record({ kind: fc.constant('remove' as const), n: fc.nat(3) }),
      fc.record({ kind: fc.constant('state' as const), n: fc.nat(3) }),
      fc.record({ kind: fc.constant('capture' as const), n: fc.nat(3) }),
      fc.record({ kind: fc.constant('drop' as const), n: fc.nat(3) }),
    );
    fc.assert(
      fc.property(fc.array(act, { maxLength: 12 }), (acts) => {
        const register = createRegister(join(folder(), 'p.spurledger'), { title: 'p', isInvented: false }, options);
        const picture = (): string =>
          JSON.stringify([
            register.sources.list().map((s) => s.source),
            register.states.list(),
            register.captures.list(),
          ]);
        const empty = picture();
        for (const a of acts)
          try {
            const name = `U${a.n}`;
            const there = register.sources.list().some((s) => s.source.designator === name);
            if (a.kind === 'put') register.sources.put(source(name, { nominalHz: a.hz }), there ? name : null);
            else if (a.kind === 'remove') register.sources.remove(name);
            else if (a.kind === 'state') register.states.put(null, aState(`S${a.n}`));
            else if (a.kind === 'capture') take(register, `c${a.n}.csv`, a.n);
            else register.captures.remove([register.captures.list()[a.n % 2]!.id]);
          } catch (error) {
            if (!(error instanceof RegisterError) && !(error instanceof TypeError)) throw error;
          }
        const full = picture();
        let steps = 0;
        while (register.facts().undoSummary !== null) {
          register.undo();
          steps++;
        }
        expect(picture()).toBe(empty);
        for (let i = 0; i < steps; i++) register.redo();
        expect(picture()).toBe(full);
        register.close();
      }),
      { seed: 21, numRuns: 25 },
    );
  });

  test('a step that another window has built on is not taken back over it', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    const db = new SqliteDatabase(register.path);
    db.prepare('UPDATE source SET body = ?').run(JSON.stringify(source('U1', { notes: 'elsewhere' })));
    db.close();
    expect(codeOf(() => register.undo())).toBe('stale');
  });
});
