import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalJson, fromJson, toJson } from '../../src-main/register/json.ts';

describe('toJson(value) and fromJson(text)', () => {
  test('keep NaN and both infinities, at any depth', () => {
    const value = { a: [NaN, 1, { b: Infinity }], c: -Infinity, d: null, e: 'NaN' };
    expect(fromJson(toJson(value))).toEqual(value);
  });

  test('what has only ordinary numbers is ordinary JSON', () => {
    expect(toJson({ a: [1, null, 'x'] })).toBe('{"a":[1,null,"x"]}');
  });

  test('any values come back', () => {
    const leaf = fc.oneof(
      fc.double().map((x) => (x === 0 ? 0 : x)), // JSON has no −0
      fc.string(),
      fc.boolean(),
      fc.constant(null),
    );
    const { tree } = fc.letrec((tie) => ({
      tree: fc.oneof(
        { maxDepth: 4 },
        leaf,
        fc.array(tie('tree'), { maxLength: 4 }),
        fc.dictionary(fc.stringMatching(/^[a-z]{1,4}$/), tie('tree'), { maxKeys: 4 }),
      ),
    }));
    fc.assert(
      fc.property(tree, (value) => {
        expect(fromJson(toJson(value))).toEqual(value);
      }),
      { seed: 5, numRuns: 300 },
    );
  });
});

describe('canonicalJson(value)', () => {
  test('is the same text for the same fields in another order, another for another value', () => {
    expect(canonicalJson({ b: 1, a: { d: 2, c: NaN } })).toBe(canonicalJson({ a: { c: NaN, d: 2 }, b: 1 }));
    expect(canonicalJson({ a: [1, 2] })).not.toBe(canonicalJson({ a: [2, 1] }));
    expect(canonicalJson({ a: NaN })).not.toBe(canonicalJson({ a: null }));
  });
});
