import SqliteDatabase from 'better-sqlite3';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { migrate, MIGRATIONS, versionOf } from '../../src-main/register/migrate.ts';
import { openRegister } from '../../src-main/register/register.ts';
import { versionOne } from './old-files.ts';
import { folder, options, source } from './scene.ts';

describe('migrate(db)', () => {
  test('two programs may try at once: the second finds nothing left to do', () => {
    const path = join(folder(), 'old.spurledger');
    versionOne(path);
    const [first, second] = [new SqliteDatabase(path), new SqliteDatabase(path)];
    onTestFinished(() => [first, second].forEach((db) => db.close()));
    expect(versionOf(second)).toBe(1);
    migrate(first);
    migrate(second);
    expect(versionOf(second)).toBe(MIGRATIONS.length);
  });

  test('one that fails half-way leaves the old version as it was', () => {
    const path = join(folder(), 'old.spurledger');
    versionOne(path);
    const db = new SqliteDatabase(path);
    onTestFinished(() => void db.close());
    const broken = [
      MIGRATIONS[0]!,
      'CREATE TABLE extra (a) STRICT',
      'CREATE TABLE half (a INTEGER) STRICT; SELECT nonsense',
    ];
    expect(() => migrate(db, broken)).toThrow();
    expect(versionOf(db)).toBe(1);
    expect(db.prepare("SELECT count(*) FROM sqlite_schema WHERE name IN ('extra', 'half')").pluck().get()).toBe(0);
  });
});

describe('migration 0001', () => {
  test('makes the tables of an empty file', () => {
    const db = new SqliteDatabase(':memory:');
    migrate(db, MIGRATIONS.slice(0, 1));
    const tables = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").pluck().all();
    expect(tables).toEqual(
      'about band blob capture decision event fix history point result source spur state step trace'.split(' '),
    );
    db.close();
  });
});

describe('migration 0002', () => {
  test('the title of an older file becomes a setting, and everything else is there as before', () => {
    const path = join(folder(), 'old.spurledger');
    versionOne(path);
    const register = openRegister(path, options);
    onTestFinished(() => register.close());
    expect(register.facts()).toMatchObject({
      title: 'Älteres “Gerät”',
      isInvented: true,
      schemaVersion: MIGRATIONS.length,
    });
    expect(register.settings.get('title')).toBe('Älteres “Gerät”');
    expect(register.sources.list()).toMatchObject([{ source: source('U1'), letter: 'A', revision: 1 }]);
    expect(register.check()).toEqual([]);
    register.undo();
    expect(register.sources.list()).toEqual([]);
    register.settings.put('title', 'new');
    expect(register.facts().title).toBe('new');
    register.undo();
    expect(register.facts().title).toBe('Älteres “Gerät”');
  });
});

describe('migration 0003', () => {
  test('results of the old form are dropped, to be computed again; the capture they were of stays', () => {
    const path = join(folder(), 'old.spurledger');
    versionOne(path);
    const db = new SqliteDatabase(path);
    migrate(db, MIGRATIONS.slice(0, 2));
    const body = JSON.stringify({ file: 'a.csv', traces: [], warnings: [] });
    db.prepare("INSERT INTO capture (id, sha256, revision, body) VALUES (1, 'x', 1, ?)").run(body);
    db.exec("INSERT INTO result VALUES (1, 0, 'basis', '{}', 'sum', x'00')");
    db.exec("INSERT INTO spur VALUES (1, 0, 0, 1e6, -80.0, 'unexplained', NULL, NULL)");
    db.close();
    const register = openRegister(path, options);
    onTestFinished(() => register.close());
    expect(register.results.get(1, 0)).toBeNull();
    expect(register.results.spurCount(1, 0)).toBeNull();
    expect(register.captures.list().map((entry) => entry.file)).toEqual(['a.csv']);
  });
});
