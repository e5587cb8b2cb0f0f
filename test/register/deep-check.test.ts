import SqliteDatabase from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { aState, freshRegister, source, take } from './scene.ts';

function sample() {
  const register = freshRegister();
  register.sources.put(source('U1'), null);
  register.states.put(null, aState('S0'));
  take(register, 'a.csv');
  register.undo();
  register.redo();
  return register;
}

describe('check()', () => {
  test('finds nothing wrong with a sound register', () => {
    expect(sample().check()).toEqual([]);
  });

  test.each([
    [
      'a digit of a source',
      "UPDATE source SET body = replace(body, '300000', '300001')",
      /source 1: not what the last/,
    ],
    ['a state brought back behind the history', 'UPDATE state SET gone = 1', /state 1: not what the last/],
    ['an entry that is no JSON any more', 'UPDATE source SET body = substr(body, 3)', /source 1: /],
    ['a blob cut short', 'UPDATE blob SET bytes = substr(bytes, 1, 20)', /blob [0-9a-f]{64}: bytes that are not/],
    ['a blob that is gone', "DELETE FROM blob WHERE packing = 'none'", /trace \d+ points to a blob|points to a blob/],
  ])('names %s', (_, sql, problem) => {
    const register = sample();
    const db = new SqliteDatabase(register.path);
    db.pragma('foreign_keys = OFF');
    db.exec(sql);
    db.close();
    const problems = register.check();
    expect(problems.length).toBeGreaterThan(0);
    expect(problems.join('\n')).toMatch(problem);
  });
});
