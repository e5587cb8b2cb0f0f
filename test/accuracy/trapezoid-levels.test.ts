import { expect, it } from 'vitest';
import { buildCase } from './cases/build-case.ts';
import { plainSource } from './cases/random-parts.ts';
import { statedSettings } from './cases/stated-settings.ts';
import { triageOf } from './run-campaign.ts';
import { seededRandom } from './simulator/random.ts';
import { STEADY, type SweepSetup } from './simulator/sweep.ts';

/**
 * Harmonics of a trapezoid of 5 V, 1 MHz, 50 %, 20 ns, dBµV (rms). Formula and breakpoints: course notes on EMC, chapter 3, after
 * Paul, Introduction to Electromagnetic Compatibility, section 3.2.1; values computed from it and checked with an FFT.
 */
const LEVELS_DBUV: Readonly<Record<number, number>> = {
  1: 127.04,
  3: 117.45,
  5: 112.92,
  7: 109.86,
  9: 107.49,
  11: 105.52,
  15: 102.2,
  25: 95.17,
};

it('a trapezoid put through sweep, floor, spurs and attribution comes back with the published level of every harmonic', () => {
  const setup: SweepSetup = {
    startHz: 200e3,
    spacingHz: 2e3,
    points: 14_000,
    rbwHz: 3e3,
    filter: 'gaussian',
    sweeps: 32,
    combine: 'power',
    peakLooks: 1,
    overlapping: true,
    roundDb: 0.01,
  };
  const subject = buildCase(
    {
      name: 'trapezoid',
      seed: 1,
      setup,
      floorDb: () => 60,
      emitters: [
        {
          name: 'V1',
          registered: true,
          fundamentalHz: 1e6,
          duty: 0.5,
          riseS: 20e-9,
          coupling: () => 0,
          strongestOverFloorDb: 0,
          // the emitter's wave is one volt high
          absoluteDb: 20 * Math.log10(5),
          wander: STEADY,
        },
      ],
      foreign: [],
      sources: [plainSource('V1', 'converter', 0.97e6, 50_000)],
      settings: statedSettings(setup),
      axis: { referencePpm: 0, spanPpm: 0 },
    },
    seededRandom(1),
  );
  const { spurs, explanations, combs } = triageOf(subject);
  expect(combs.map((comb) => comb.source)).toEqual(['V1']);
  const found = new Map(
    spurs.flatMap((spur, i) => {
      const { cause, candidates } = explanations[i]!;
      return cause === 'source' ? [[candidates[0]!.harmonic, spur] as const] : [];
    }),
  );
  for (const [harmonic, levelDb] of Object.entries(LEVELS_DBUV)) {
    const spur = found.get(Number(harmonic));
    expect(spur, `harmonic ${harmonic}`).toBeDefined();
    expect(Math.abs(spur!.levelDb - levelDb), `harmonic ${harmonic}`).toBeLessThan(3 * spur!.levelSigmaDb + 0.05);
  }
  // a duty cycle of one half has no even harmonics
  expect([...found.keys()].filter((harmonic) => harmonic % 2 === 0)).toEqual([]);
});
