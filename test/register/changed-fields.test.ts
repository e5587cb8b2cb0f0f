import { expect, test } from 'vitest';
import { changedFields } from '../../src-main/register/changed-fields.ts';

test.each<[unknown, unknown, string]>([
  [{ a: 1, b: 2 }, { b: 2, a: 1 }, ''],
  [{ a: 1, b: 2 }, { a: 3, b: 2 }, 'a'],
  [{ a: 1 }, { b: 1 }, 'a, b'],
  [{ lock: null }, { lock: { to: 'XO' } }, 'lock'],
  [{ condition: { mode: 'a', unit: null } }, { condition: { mode: 'b', unit: null } }, 'condition.mode'],
  [{ list: ['x'] }, { list: ['x', 'y'] }, 'list'],
  [{ a: 1, b: 1, c: 1, d: 1, e: 1, f: 1 }, {}, 'a, b, c, d and 2 more'],
  ['title', 'another', ''],
  [null, { a: 1 }, ''],
])('changedFields(%j, %j) is "%s"', (before, after, names) => expect(changedFields(before, after)).toBe(names));
