import { describe, expect, test } from 'vitest';
import { unseenWidening, type Standing } from '../../../src-main/engine/spurs/unseen-neighbours.ts';
import { seeded } from '../attribution/scene.ts';

const at = (frequencyHz: number, overFloorDb: number): Standing => ({ frequencyHz, overFloorDb });

describe('unseenWidening(peaks, lineWidthHz, lowHz, highHz)', () => {
  test('one weaker line within a hundred widths: 1 + 2.23·(1 − e^(−2/197.6)), by hand; the weaker one is not widened', () => {
    const [strong, weak] = unseenWidening([at(0, 50), at(20, 20)], 1, -1000, 1000);
    expect(strong).toBeCloseTo(1 + 2.23 * (1 - Math.exp(-2 / 197.6)), 12);
    expect(weak).toBe(1);
  });

  test.each([
    ['alone', []],
    ['a neighbour nearly as strong shows by itself', [at(20, 40)]],
    ['a neighbour further than a hundred widths', [at(101, 20)]],
    ['a neighbour nearer than lines can be told apart says nothing of the others', [at(1, 20)]],
  ])('not widened: %s', (_, others) => {
    expect(unseenWidening([at(0, 50), ...others], 1, -1000, 1000)[0]).toBe(1);
  });

  test('at the end of a trace only what was swept counts: the same density on one side widens as much as on both', () => {
    const both = Array.from({ length: 41 }, (_, k) => at(5 * (k - 20), k === 20 ? 50 : 20));
    const oneSided = both.filter(({ frequencyHz }) => frequencyHz >= 0);
    const middle = unseenWidening(both, 1, -100, 100)[20]!;
    const end = unseenWidening(oneSided, 1, 0, 100)[0]!;
    expect(end / middle).toBeCloseTo(1, 1);
    expect(middle).toBeGreaterThan(1.3);
  });

  test('widened by 2.23 × a small share of useless errors, 86.6 % lie inside one and a half sigma again', () => {
    const { uniform, normal } = seeded(3);
    for (const share of [0.02, 0.05, 0.1]) {
      const sigma = 1 + 2.23 * share;
      let inside = 0;
      const trials = 60_000;
      for (let t = 0; t < trials; t++) if (uniform() >= share && Math.abs(normal()) < 1.5 * sigma) inside++;
      // first order in the share: low by at most three times its square; sampling error 0.0014
      expect(inside / trials).toBeGreaterThan(0.8664 - 3 * share ** 2 - 0.005);
      expect(inside / trials).toBeLessThan(0.8664 + 0.005);
    }
  });

  test('the chance is that of lines at random places: as many lie within a width as it says', () => {
    const { uniform } = seeded(8);
    const density = 0.05;
    const peaks = Array.from({ length: 10_000 }, () => at((10_000 / density) * uniform(), 20));
    let [under, said] = [0, 0];
    const probes = 2000;
    for (let t = 0; t < probes; t++) {
      const place = 500 + (10_000 / density - 1000) * uniform();
      if (peaks.some(({ frequencyHz }) => Math.abs(frequencyHz - place) < 1)) under++;
      if (t % 40 === 0) {
        const near = peaks.filter(({ frequencyHz }) => Math.abs(frequencyHz - place) < 150);
        const list = [...near, at(place, 50)].sort((a, b) => a.frequencyHz - b.frequencyHz);
        const own = list.findIndex(({ overFloorDb }) => overFloorDb === 50);
        said += (unseenWidening(list, 1, 0, 10_000 / density)[own]! - 1) / 2.23 / (probes / 40);
      }
    }
    expect(Math.abs(under / probes - said)).toBeLessThan(4 * Math.sqrt(0.1 / probes));
  });
});
