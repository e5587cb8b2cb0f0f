import { expect, test } from 'vitest';
import { cautionsFor, cautionsForAll } from '../../src-main/model/cautions.ts';
import type { PointKind } from '../../src-main/model/measuring-point.ts';

const KINDS: PointKind[] = [
  'receiver-port',
  'mains-network',
  'supply-line',
  'current-probe',
  'near-field-probe',
  'antenna',
  'other',
];

test.each(KINDS)('a %s has cautions that end in deferring to local rules and licensed practice', (kind) => {
  const cautions = cautionsFor(kind);
  expect(cautions.length).toBeGreaterThan(2);
  expect(cautions[cautions.length - 1]).toMatch(/local electrical code.*licensed/);
  expect(cautions.join()).toMatch(/attenuat/);
});

test('the figures in the cautions are those of the formulas', () => {
  // I = U·2πf·C and E = ½CV² (exact)
  expect(230 * 2 * Math.PI * 50 * 12e-6).toBeCloseTo(0.867, 3);
  expect(0.5 * 100e-6 * 400 ** 2).toBeCloseTo(8, 9);
  expect(cautionsFor('mains-network').join()).toMatch(/0\.87 A/);
  expect(cautionsFor('supply-line').join()).toMatch(/8 J/);
});

test('points of several kinds have each caution once, all of each kind, and defer last', () => {
  for (const first of KINDS)
    for (const second of KINDS) {
      const all = cautionsForAll([first, second]);
      expect(new Set(all).size).toBe(all.length);
      expect(new Set(all)).toEqual(new Set([...cautionsFor(first), ...cautionsFor(second)]));
      expect(all[0]).toBe(cautionsFor(first)[0]);
      expect(all.at(-1)).toBe(cautionsFor(first).at(-1));
    }
  expect(cautionsForAll([])).toEqual([]);
});

test('a probe held to the open build is told of stored charge and of ESD', () => {
  expect(cautionsFor('near-field-probe').join()).toMatch(/8 J.*ESD/s);
});
