import { describe, expect, test } from 'vitest';
import { linesStandOut } from '../../../src-main/engine/attribution/stand-out.ts';
import { seenComb as seen } from './scene.ts';

/** Levels of the first 60 harmonics of one rectangular wave: 20·log10(|sin πnD| / n). */
const wave = (duty: number): (number | null)[] =>
  Array.from({ length: 60 }, (_, i) => {
    const share = Math.abs(Math.sin(Math.PI * (i + 1) * duty));
    return share < 0.01 ? null : 20 * Math.log10(share / (i + 1));
  });

describe('linesStandOut(lines, comb, multiple)', () => {
  test('says by how much every second line stands over the stronger of its two neighbours', () => {
    const { lines, comb } = seen([0, 10, 4, 9, 0, 12, 1, 8, 2]);
    // 10 − 4, 12 − 1 at n = 2, 6 and 9 − 4, 8 − 2 at n = 4, 8; the upper middle of two is taken, the weaker of both kinds counts
    expect(linesStandOut(lines, comb, 2)).toMatchObject({ surely: true, middleDb: 6 });
  });

  test('the chance is that of a sign test: 2⁻⁶⁰ for sixty lines over their neighbours', () => {
    const { lines, comb } = seen(Array.from({ length: 121 }, (_, i) => (i % 2 === 1 ? 10 : 0)));
    expect(linesStandOut(lines, comb, 2)!.log10Chance).toBeCloseTo(60 * Math.log10(0.5), 6);
  });

  test('no duty cycle of one rectangular wave makes every second line stand out', () => {
    for (let duty = 0.02; duty < 0.99; duty += 0.005) {
      const { lines, comb } = seen(wave(duty));
      const verdict = linesStandOut(lines, comb, 2);
      expect(verdict?.surely === true && verdict.log10Chance < -3, `duty ${duty}`).toBe(false);
    }
  });

  test('a wave that lacks its even lines is still told by the others standing out more', () => {
    const levels = Array.from({ length: 80 }, (_, i) => ((i + 1) % 4 === 2 ? 10 : (i + 1) % 4 === 0 ? null : 0));
    const { lines, comb } = seen(levels);
    expect(linesStandOut(lines, comb, 2)).toMatchObject({ surely: true });
  });

  test('is null where no line is seen at the multiples of one kind, nor beside them', () => {
    const { lines, comb } = seen([0, 10, 0]);
    expect(linesStandOut(lines, comb, 2)).toBeNull();
  });
});
