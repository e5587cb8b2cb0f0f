import { describe, expect, it } from 'vitest';
import { FreeLines } from '../../../src-main/engine/mixing/free-lines.ts';
import { judgeNested, judgePlaces } from '../../../src-main/engine/mixing/judge-places.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import { seeded } from '../attribution/scene.ts';

const AXIS = Float64Array.from({ length: 10_001 }, (_, i) => i * 10e3);

/** Free lines on a 100 MHz axis; the match window of three standard deviations is 1 kHz. */
function free(frequenciesHz: readonly number[], explained: readonly number[] = []): FreeLines {
  const all = [...frequenciesHz, ...explained].sort((a, b) => a - b);
  const spurs = all.map(
    (frequencyHz) =>
      ({
        frequencyHz,
        frequencySigmaHz: 1000 / 3,
        levelDb: -80,
        overFloorDb: 20,
        widthHz: 100,
        shape: 'line',
        firstIndex: Math.floor(frequencyHz / 10e3),
        lastIndex: Math.floor(frequencyHz / 10e3),
      }) as Spur,
  );
  const explanations = all.map((hz) => ({
    cause: explained.includes(hz) ? ('source' as const) : ('unexplained' as const),
    candidates: [],
    why: '',
  }));
  return new FreeLines(spurs, explanations, AXIS, 100, 3);
}

describe('judgePlaces', () => {
  it('takes the published chance of coincidence: 1 000 lines in 100 MHz at ± 1 kHz are 0.0198', () => {
    // p = 1 − exp(−2wλ), the table of chance coincidences
    const lines = free(Array.from({ length: 1000 }, (_, i) => (i + 0.5137) * 100e3));
    expect(lines.accidentAt({ hz: 50e6, sigmaHz: 0 })).toBeCloseTo(0.0198, 4);
  });

  it('says how often lines at random do as well: the tail is no smaller than the share over many draws', () => {
    const { uniform } = seeded(21);
    const places = Array.from({ length: 30 }, (_, i) => ({ hz: (i + 1) * 3.1e6, sigmaHz: 200 }));
    const draws = 2500;
    const tails: number[] = [];
    for (let i = 0; i < draws; i++)
      tails.push(Math.exp(judgePlaces(free(Array.from({ length: 150 }, () => uniform() * 100e6)), places).logTail));
    for (const level of [0.1, 0.01])
      expect(tails.filter((tail) => tail < level).length).toBeLessThanOrEqual(
        level * draws + 3 * Math.sqrt(level * draws),
      );
    // and it is no idle bound
    expect(tails.filter((tail) => tail < 0.2).length).toBeGreaterThan(0.03 * draws);
  });

  it('counts by hand: two of three places hit', () => {
    const lines = free([10e6, 20.0004e6, 77e6], [30e6]);
    const places = [10e6, 20e6, 40e6, 30e6, 200e6].map((hz) => ({ hz, sigmaHz: 0 }));
    const judged = judgePlaces(lines, places);
    // the fourth lies under an explained line, the fifth outside the span
    expect(judged.places).toBe(3);
    expect(judged.hits.map(({ place }) => place.hz)).toEqual([10e6, 20e6]);
    const p = places.slice(0, 3).map((place) => lines.accidentAt(place));
    const twoOrMore = p[0]! * p[1]! + p[0]! * p[2]! + p[1]! * p[2]! - 2 * p[0]! * p[1]! * p[2]!;
    expect(Math.exp(judged.logTail)).toBeCloseTo(twoOrMore, 12);
  });

  it('judges nested sets as it judges each alone, and places of one family as one trial', () => {
    const { uniform } = seeded(22);
    const lines = free(Array.from({ length: 300 }, () => uniform() * 100e6));
    const places = Array.from({ length: 80 }, (_, i) => ({ hz: uniform() * 100e6, sigmaHz: 300, i }));
    const nested = judgeNested(lines, places, [10, 40, 80]);
    for (const [s, size] of [10, 40, 80].entries()) {
      const alone = judgePlaces(lines, places.slice(0, size));
      expect(nested[s]!.hits).toEqual(alone.hits);
      expect(nested[s]!.logTail).toBeCloseTo(alone.logTail, 12);
    }
    const one = judgePlaces(lines, places, { family: () => 'all' });
    expect(Math.exp(one.logTail)).toBeGreaterThan(0.5);
  });
});
