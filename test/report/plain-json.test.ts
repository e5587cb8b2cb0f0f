import fc from 'fast-check';
import { expect, test } from 'vitest';
import { plainJson } from '../../src-main/report/plain-json.ts';

test('numbers that JSON cannot hold become null, and a field beside them says what stood there', () => {
  expect(plainJson({ a: NaN, b: Infinity, c: -Infinity, d: 1.5 })).toEqual({
    a: null,
    b: null,
    c: null,
    d: 1.5,
    reasons: {
      a: 'no finite number: not a number',
      b: 'no finite number: infinite',
      c: 'no finite number: minus infinite',
    },
  });
});

test('reasons that are there already are kept, and a list names the place in it', () => {
  expect(plainJson({ x: [1, NaN], y: null, reasons: { y: 'nobody said' } })).toEqual({
    x: [1, null],
    y: null,
    reasons: { y: 'nobody said', 'x[1]': 'no finite number: not a number' },
  });
});

test('minus zero becomes zero and an undefined field is left out', () => {
  const plain = plainJson({ zero: -0, nothing: undefined }) as Record<string, unknown>;
  expect(Object.is(plain['zero'], 0)).toBe(true);
  expect(Object.keys(plain)).toEqual(['zero']);
});

test('whatever goes in, JSON carries it there and back unchanged', () => {
  const leaf = fc.oneof(fc.double(), fc.string(), fc.boolean(), fc.constant(null));
  const { tree } = fc.letrec<{ tree: unknown }>((tie) => ({
    tree: fc.oneof(
      { maxDepth: 3 },
      leaf,
      fc.array(tie('tree'), { maxLength: 4 }),
      fc.dictionary(fc.constantFrom('a', 'b', 'c'), tie('tree')),
    ),
  }));
  fc.assert(
    fc.property(tree, (value) => {
      const plain = plainJson(value as Parameters<typeof plainJson>[0]);
      expect(JSON.parse(JSON.stringify(plain))).toEqual(plain);
    }),
    { seed: 7, numRuns: 300 },
  );
});
