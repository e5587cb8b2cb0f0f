import { expect, test } from 'vitest';
import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { betweenPointsDb } from '../../src-main/engine/verdict/between-points.ts';
import { lineLimitOverNoiseDb } from '../../src-main/engine/tracking/line-limit.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { simulateTrace } from '../engine/tracking/bench-simulator.ts';
import { seededNormal, seededRandom } from '../engine/tracking/seeded-random.ts';

const PLACES = [1.15e6, 1.35e6, 1.55e6, 1.75e6, 1.95e6];

/** Share of lines of one height over the floor that the engine finds, `offsetHz` beside a point of the trace (spacing 1 kHz times `step`). */
function foundShare(averages: number, overDb: number, seeds: number, offsetHz = 0, step = 1): number {
  let found = 0;
  for (let seed = 0; seed < seeds; seed++) {
    const trace = simulateTrace({
      startHz: 1e6,
      stopHz: 2.1e6,
      points: 1100 / step + 1,
      rbwHz: 3e3,
      averages,
      floorDb: () => -100,
      lines: PLACES.map((hz) => ({ frequencyHz: hz + offsetHz, levelDb: -100 + overDb })),
      random: seededRandom(9000 + seed),
    });
    const { spurs } = analyseTrace({ trace, sources: [], condition: null, settings: DEFAULT_TRIAGE_SETTINGS });
    for (const hz of PLACES.map((place) => place + offsetHz))
      if (spurs.some((spur) => Math.abs(spur.frequencyHz - hz) < 3e3)) found++;
  }
  return found / (seeds * PLACES.length);
}

test('the weakest line that a capture says it detects with probability 0.95 is found so often', () => {
  for (const averages of [4, 16, 64]) {
    const trace = simulateTrace({
      startHz: 1e6,
      stopHz: 2.1e6,
      points: 1101,
      rbwHz: 3e3,
      averages,
      floorDb: () => -100,
      lines: [],
      random: seededRandom(averages),
    });
    const { floor } = analyseTrace({ trace, sources: [], condition: null, settings: DEFAULT_TRIAGE_SETTINGS });
    const share = foundShare(averages, floor.weakestDetectableOverFloorDb, 40);
    // 200 lines: 0.95 less two and a half standard deviations; it is said for one point, neighbours help
    expect(share, `${averages} averages`).toBeGreaterThan(0.91);
    // three decibels weaker it is plainly not
    expect(foundShare(averages, floor.weakestDetectableOverFloorDb - 3, 20), `${averages} averages`).toBeLessThan(0.9);
  }
});

test('a line between two points is found so often once what it loses there is added', () => {
  // points 2.5 kHz apart under a filter of 3 kHz: the worst place is between the nearer point alone and half-way
  const averages = 32;
  const step = 2.5;
  const trace = simulateTrace({
    startHz: 1e6,
    stopHz: 2.1e6,
    points: 1100 / step + 1,
    rbwHz: 3e3,
    averages,
    floorDb: () => -100,
    lines: [],
    random: seededRandom(averages),
  });
  const { floor } = analyseTrace({ trace, sources: [], condition: null, settings: DEFAULT_TRIAGE_SETTINGS });
  const lossDb = betweenPointsDb(floor, step * 1e3, 3e3);
  expect(lossDb).toBeGreaterThan(0.2);
  expect(lossDb).toBeLessThan(2.1);
  for (const offsetHz of [400, 800, 1250])
    expect(
      foundShare(averages, floor.weakestDetectableOverFloorDb + lossDb, 40, offsetHz, step),
      `${offsetHz} Hz beside a point`,
    ).toBeGreaterThan(0.91);
  // points farther apart than twice the filter let lines through
  expect(betweenPointsDb(floor, 6e3, 3e3)).toBe(Infinity);
});

test('95 % upper limits lie above the line that is there in 95 % of seeded points', () => {
  // Limit points of detection at a false alarm of 1e-6: 13.66, 5.67 and −0.93 dB for 1, 10 and 100 averages (computed, non-central χ²)
  for (const [averages, trueDb] of [
    [1, 13.66],
    [10, 5.67],
    [100, -0.93],
  ] as const) {
    const random = seededRandom(31 * averages);
    const normal = seededNormal(random);
    const amplitude = Math.sqrt(2 * 10 ** (trueDb / 10));
    let above = 0;
    const tries = 400;
    for (let i = 0; i < tries; i++) {
      let power = 0;
      for (let k = 0; k < averages; k++) power += ((amplitude + normal()) ** 2 + normal() ** 2) / 2;
      if (lineLimitOverNoiseDb(10 * Math.log10(power / averages), averages, 0.95) >= trueDb) above++;
    }
    // 0.95 ± 2.5 standard deviations of 400 tries
    expect(above / tries, `${averages} averages`).toBeGreaterThan(0.92);
    expect(above / tries, `${averages} averages`).toBeLessThan(0.98);
  }
});
