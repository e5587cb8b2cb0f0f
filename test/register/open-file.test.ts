import { spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { MIGRATIONS } from '../../src-main/register/migrate.ts';
import { createRegister, openRegister } from '../../src-main/register/register.ts';
import type { RegisterError } from '../../src-main/register/register-error.ts';
import { versionOne } from './old-files.ts';
import { folder, freshRegister, options, refusalOf, source, take } from './scene.ts';

describe('openRegister(path): what is no register', () => {
  test.each([
    ['a text file', (path: string) => writeFileSync(path, 'frequency,level\n1,2\n'), 'not-a-register', /no database/],
    ['an empty file', (path: string) => writeFileSync(path, ''), 'not-a-register', /empty/],
    ['a folder', (path: string) => mkdirSync(path), 'not-a-register', /folder/],
    [
      'a database of another program',
      (path: string) => new SqliteDatabase(path).exec('CREATE TABLE t (a)').close(),
      'not-a-register',
      /another program/,
    ],
    [
      'a header with nothing behind it',
      (path: string) => writeFileSync(path, 'SQLite format 3\0'),
      'not-a-register',
      /no database/,
    ],
    ['no file', () => undefined, 'not-found', /no such file/],
  ])('%s is refused with file, place, found, expected and way out', (_, make, code, found) => {
    const path = join(folder(), 'x.spurledger');
    make(path);
    const refusal = refusalOf(() => openRegister(path, options));
    expect(refusal.code).toBe(code);
    expect(refusal.problem.file).toBe('x.spurledger');
    expect(refusal.problem.found).toMatch(found);
    for (const part of Object.values(refusal.problem)) expect(part).not.toBe('');
  });

  test('a newer version is named and not touched', () => {
    const path = join(folder(), 'new.spurledger');
    createRegister(path, { title: 'x', isInvented: false }, options).close();
    const db = new SqliteDatabase(path);
    db.pragma('user_version = 99');
    db.close();
    const before = readFileSync(path);
    const refusal = refusalOf(() => openRegister(path, options));
    expect(refusal.code).toBe('newer-version');
    expect(refusal.problem.found).toBe('register version 99');
    expect(readFileSync(path).equals(before)).toBe(true);
  });
});

describe('openRegister(path): damage', () => {
  function sample(): string {
    const path = join(folder(), 'd.spurledger');
    const register = createRegister(path, { title: 'x', isInvented: false }, options);
    for (let i = 0; i < 20; i++) {
      take(register, `c${i}.csv`, i);
      register.sources.put(source(`U${i}`), null);
    }
    register.close();
    return path;
  }

  test('a file cut off at any page is refused, save where nothing but unused space is missing', () => {
    const path = sample();
    const pages = readFileSync(path).length / 4096;
    const accepted: number[] = [];
    for (let kept = 1; kept < pages; kept += 7) {
      const cut = join(folder(), `cut${kept}.spurledger`);
      copyFileSync(path, cut);
      truncateSync(cut, kept * 4096);
      try {
        openRegister(cut, options).close();
        accepted.push(kept);
      } catch (error) {
        expect((error as RegisterError).code).toBe('damaged');
      }
    }
    expect(accepted).toEqual([]);
  });

  test.each([3, 9, 15])('pages overwritten from page %i on are refused', (page) => {
    const path = sample();
    const bytes = readFileSync(path);
    bytes.fill(0xa5, page * 4096, (page + 4) * 4096);
    writeFileSync(path, bytes);
    const refusal = refusalOf(() => openRegister(path, options));
    expect(refusal.code).toBe('damaged');
    expect(refusal.problem.wayOut).toMatch(/copy/);
    expect(readFileSync(path).equals(bytes)).toBe(true);
  });
});

describe('openRegister(path): a file that is held', () => {
  test('by a program that lets nobody in is refused within the waiting time; it opens once that ends', () => {
    const { path } = freshRegister();
    const db = new SqliteDatabase(path);
    onTestFinished(() => void db.close());
    const register = openRegister(path, { ...options, busyTimeoutMs: 50 });
    onTestFinished(() => register.close());
    db.exec('BEGIN IMMEDIATE');
    const refusal = refusalOf(() => register.sources.put(source('U1'), null));
    expect(refusal.code).toBe('locked');
    expect(refusal.problem.wayOut).toMatch(/nothing was changed/);
    expect(register.sources.list()).toEqual([]); // reading goes on
    db.exec('ROLLBACK');
    register.sources.put(source('U1'), null);
    expect(register.sources.list()).toHaveLength(1);
  });

  test('with an exclusive lock cannot be opened', () => {
    const path = join(folder(), 'x.spurledger');
    createRegister(path, { title: 'x', isInvented: false }, options).close();
    const db = new SqliteDatabase(path);
    onTestFinished(() => void db.close());
    db.pragma('locking_mode = EXCLUSIVE');
    db.exec('BEGIN EXCLUSIVE; UPDATE about SET value = value; COMMIT');
    expect(refusalOf(() => openRegister(path, { ...options, busyTimeoutMs: 50 })).code).toBe('locked');
  });
});

describe.skipIf(process.platform === 'win32')('openRegister(path): places that cannot be written', () => {
  test('are opened for reading only, from a copy where need be; an older version is read too, and nothing is left behind', () => {
    const open = folder();
    const closed = folder();
    const temporary = folder();
    for (const place of [open, closed, temporary]) chmodSync(place, 0o777);
    const make = (place: string, name: string, mode: number): string => {
      const path = join(place, name);
      const register = createRegister(path, { title: name, isInvented: false }, options);
      register.sources.put(source('U1'), null);
      register.close();
      chmodSync(path, mode);
      return path;
    };
    const file = make(open, 'file.spurledger', 0o444);
    const place = make(closed, 'place.spurledger', 0o666);
    const hidden = make(open, 'hidden.spurledger', 0o000);
    const older = join(closed, 'older.spurledger');
    versionOne(older);
    // a change that is still only in the journal beside the file
    const journal = make(closed, 'journal.spurledger', 0o666);
    const writer = openRegister(journal, options);
    onTestFinished(() => writer.close());
    writer.sources.put(source('U2'), null);
    for (const end of ['-wal', '-shm']) chmodSync(journal + end, 0o644);
    chmodSync(closed, 0o555);
    onTestFinished(() => chmodSync(closed, 0o777));

    const child = spawnSync(
      process.execPath,
      [join(import.meta.dirname, 'as-nobody.ts'), file, place, older, journal, hidden],
      { encoding: 'utf8', env: { ...process.env, TMPDIR: temporary } },
    );
    expect(child.stderr).toBe('');
    const answers = JSON.parse(child.stdout) as { opening: string; said: unknown; copiesLeft: number }[];
    const readable = { readOnly: true, schemaVersion: MIGRATIONS.length, put: 'read-only', undo: 'read-only' };
    expect(answers).toEqual([
      { opening: 'done', said: { ...readable, title: 'file.spurledger', sources: ['U1'] }, copiesLeft: 0 },
      { opening: 'done', said: { ...readable, title: 'place.spurledger', sources: ['U1'] }, copiesLeft: 0 },
      { opening: 'done', said: { ...readable, title: 'Älteres “Gerät”', sources: ['U1'] }, copiesLeft: 0 },
      { opening: 'done', said: { ...readable, title: 'journal.spurledger', sources: ['U1', 'U2'] }, copiesLeft: 0 },
      { opening: 'read-only', copiesLeft: 0 },
    ]);
  });
});
