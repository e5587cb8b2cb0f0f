import { describe, expect, test } from 'vitest';
import { log10HalfLineChance } from '../../../src-main/engine/attribution/half-lines.ts';
import { seeded, seenComb } from './scene.ts';

function seen(levels: readonly (number | null)[]): Parameters<typeof log10HalfLineChance> {
  const { lines, comb } = seenComb(levels);
  return [lines, comb];
}

const harmonicDb = (n: number, duty: number): number => 20 * Math.log10(Math.abs(Math.sin(Math.PI * n * duty)) / n);
const sightDb = (level: number): number | null => (level > 6 ? level : null);

/** One rectangular wave of half the frequency: 20·log10(|sin πnD|/n), the levels of any textbook on Fourier series. */
function single(count: number, duty: number, scatter: () => number): (number | null)[] {
  return Array.from({ length: count }, (_, i) => sightDb(60 + harmonicDb(i + 1, duty) + scatter()));
}

/** A wave of the full frequency at the even places, lines `weakerDb` under the stronger neighbour at the odd ones. */
function twoStage(count: number, duty: number, weakerDb: number, scatter: () => number): (number | null)[] {
  return Array.from({ length: count }, (_, i) => {
    const n = (i + 1) / 2;
    const own = Number.isInteger(n)
      ? harmonicDb(n, duty)
      : Math.max(harmonicDb(Math.ceil(n), duty), n > 1 ? harmonicDb(Math.floor(n), duty) : -Infinity) - weakerDb;
    return sightDb(60 + own + scatter());
  });
}

describe('log10HalfLineChance(lines, comb)', () => {
  test('of single waves with any duty cycle, levels scattered by 2 dB, the share below p is at most p', () => {
    const { uniform, normal } = seeded(11);
    const chances = Array.from({ length: 300 }, (_, i) => {
      // every third close to one half, where one wave comes nearest to the other thing
      const duty = i % 3 === 0 ? 0.5 + 0.06 * (uniform() - 0.5) : 0.02 + 0.96 * uniform();
      return log10HalfLineChance(...seen(single(10 + Math.floor(90 * uniform()), duty, () => 2 * normal())));
    });
    expect(chances.filter((chance) => chance < -1).length).toBeLessThanOrEqual(30);
    expect(chances.filter((chance) => chance < -3).length).toBe(0);
  });

  test('a published duty error does not look like half-frequency lines: D = 0.49, 0.51 and 0.45', () => {
    // check values §6.3, computed there: n = 2 is 30.08 dB and 16.13 dB below n = 1
    expect(harmonicDb(2, 0.49) - harmonicDb(1, 0.49)).toBeCloseTo(-30.08, 1);
    expect(harmonicDb(2, 0.45) - harmonicDb(1, 0.45)).toBeCloseTo(-16.13, 1);
    for (const duty of [0.49, 0.51, 0.45])
      for (const count of [12, 30, 120])
        expect(log10HalfLineChance(...seen(single(count, duty, () => 0)))).toBeGreaterThan(-1);
  });

  test('lines in between weaker by 10 and 18 dB are told from one wave in most sources, by 4 dB in some', () => {
    for (const [weakerDb, least] of [
      [4, 8],
      [10, 28],
      [18, 32],
    ] as const) {
      const { uniform, normal } = seeded(weakerDb);
      let told = 0;
      for (let i = 0; i < 40; i++) {
        const levels = twoStage(240, 0.12 + 0.76 * uniform(), weakerDb, () => normal());
        if (log10HalfLineChance(...seen(levels)) < -3) told++;
      }
      expect(told, `${weakerDb} dB`).toBeGreaterThan(least);
    }
  });

  test('every fourth line raised by another comb locked to four times the frequency is no converter of twice of it', () => {
    const { uniform, normal } = seeded(12);
    for (let i = 0; i < 40; i++) {
      const levels = single(100, 0.02 + 0.96 * uniform(), () => 2 * normal());
      const raisedDb = 20 * uniform();
      const raised = levels.map((level, k) => ((k + 1) % 4 === 0 && level !== null ? level + raisedDb : level));
      expect(log10HalfLineChance(...seen(raised))).toBeGreaterThan(-3);
    }
  });

  test('does not care how strong all lines are together, nor what lies above the compared harmonics', () => {
    const levels = twoStage(260, 0.31, 9, () => 0).map((level) => level ?? 7);
    const here = log10HalfLineChance(...seen(levels));
    expect(log10HalfLineChance(...seen(levels.map((level) => level + 20)))).toBeCloseTo(here, 9);
    expect(log10HalfLineChance(...seen([...levels, 50, 7, 50, 7]))).toBeCloseTo(here, 9);
  });

  test('is 0 where nothing can be compared: no line, one line, only odd lines barely in sight', () => {
    for (const levels of [[], [30], [7, null, 7, null, 7]] as (number | null)[][])
      expect(log10HalfLineChance(...seen(levels))).toBeCloseTo(0, 1);
  });
});
