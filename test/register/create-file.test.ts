import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { createRegister } from '../../src-main/register/register.ts';
import { APPLICATION_ID } from '../../src-main/register/migrate.ts';
import { codeOf, folder, freshRegister, options } from './scene.ts';

const about = { title: 'y', isInvented: false };

describe('createRegister(path, about)', () => {
  test('makes one file that says what it is, and leaves no draft', () => {
    const register = freshRegister();
    const names = readdirSync(dirname(register.path)).filter((name) => !/-(wal|shm)$/.test(name));
    expect(names).toEqual([basename(register.path)]);
    const db = new SqliteDatabase(register.path);
    expect(db.pragma('application_id', { simple: true })).toBe(APPLICATION_ID);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    db.close();
    expect(register.facts()).toMatchObject({ title: 'Build', isInvented: false, undoSummary: null, redoSummary: null });
    expect(register.history(10, null)).toEqual([]);
  });

  test('keeps every change on the disk before it is acknowledged: full synchronisation, foreign keys on', () => {
    const { db } = freshRegister() as unknown as { db: SqliteDatabase.Database };
    expect(['journal_mode', 'synchronous', 'foreign_keys'].map((name) => db.pragma(name, { simple: true }))).toEqual([
      'wal',
      2, // FULL, https://www.sqlite.org/pragma.html#pragma_synchronous
      1,
    ]);
  });

  test('never overwrites a file, whatever it is, and leaves it as it was', () => {
    const path = join(folder(), 'notes.spurledger');
    writeFileSync(path, 'mine');
    expect(codeOf(() => createRegister(path, about, options))).toBe('exists');
    expect(readdirSync(dirname(path))).toEqual(['notes.spurledger']);
  });

  test('says that a folder is not there, and makes none', () => {
    const path = join(folder(), 'nowhere', 'x.spurledger');
    expect(codeOf(() => createRegister(path, about, options))).toBe('not-found');
    expect(existsSync(dirname(path))).toBe(false);
  });
});
