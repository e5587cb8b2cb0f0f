import { describe, expect, it } from 'vitest';
import { source } from '../attribution/scene.ts';
import { below, FUNDAMENTAL_HZ } from './scene.ts';

/** Largest count that a rate gives in so many trials: expectation and three standard deviations. */
const most = (rate: number, trials: number): number => rate * trials + 3 * Math.sqrt(rate * (1 - rate) * trials);
const SEEDS = Array.from({ length: 60 }, (_, i) => 1000 + i);

describe('stackBelow on a comb whose lines tell its fundamental', () => {
  it.each(['power', 'log', 'max-hold'] as const)(
    'bounds lines 3 dB under the floor in 95 of 100 captures, and estimates them without bias (%s)',
    (averaging) => {
      let missed = 0;
      let sum = 0;
      let inside = 0;
      for (const seed of SEEDS) {
        const [comb] = below({ seed, averaging, overFloorDb: -3 });
        if (comb!.upperLimitOverFloorDb! < -3) missed++;
        expect(comb!.chance).toBeLessThan(1e-3);
        sum += comb!.meanOverFloorDb!;
        if (Math.abs(comb!.meanOverFloorDb! + 3) < 2 * comb!.sigmaDb!) inside++;
      }
      expect(missed).toBeLessThanOrEqual(most(0.05, SEEDS.length));
      expect(Math.abs(sum / SEEDS.length + 3)).toBeLessThan(0.25);
      expect(inside).toBeGreaterThanOrEqual(SEEDS.length - most(0.05, SEEDS.length));
    },
  );

  it.each(['power', 'log', 'max-hold'] as const)(
    'claims nothing of noise alone beyond the stated chance (%s)',
    (averaging) => {
      const chances = SEEDS.map((seed) => below({ seed, averaging, sweeps: 8 })[0]!.chance);
      expect(chances.filter((chance) => chance < 0.1).length).toBeLessThanOrEqual(most(0.1, SEEDS.length));
      expect(chances.filter((chance) => chance < 0.01).length).toBeLessThanOrEqual(most(0.01, SEEDS.length));
      expect(chances.filter((chance) => chance > 0.5).length).toBeGreaterThan(10);
    },
  );

  it('keeps lines that luck lifted over the threshold, so that the mean is not too low', () => {
    let sum = 0;
    for (const seed of SEEDS.slice(0, 20)) sum += below({ seed, overFloorDb: 1 })[0]!.meanOverFloorDb!;
    expect(sum / 20).toBeCloseTo(1, 0.5);
  });

  it('sees with the root of harmonics and averages: four times the span is half the limit (radiometer law)', () => {
    // σ of a mean of N independent powers of K looks: 1/√(N·K); common textbook form
    const limit = (points: number, sweeps: number): number => {
      const limits = SEEDS.slice(0, 12).map(
        (seed) => 10 ** (below({ seed, points, sweeps })[0]!.upperLimitOverFloorDb! / 10),
      );
      return limits.sort((a, b) => a - b)[2]!;
    };
    const short = limit(2000, 16);
    expect(short / limit(8000, 16)).toBeGreaterThan(1.6);
    expect(short / limit(8000, 16)).toBeLessThan(2.5);
    expect(short / limit(2000, 64)).toBeGreaterThan(1.6);
    expect(short / limit(2000, 64)).toBeLessThan(2.5);
  });

  it('does not care in what unit the levels are', () => {
    const [here] = below({ seed: 7, overFloorDb: -4 });
    const [there] = below({ seed: 7, overFloorDb: -4, shiftDb: 107 });
    expect(there!.meanOverFloorDb).toBeCloseTo(here!.meanOverFloorDb!, 6);
    expect(there!.upperLimitOverFloorDb).toBeCloseTo(here!.upperLimitOverFloorDb!, 6);
  });
});

describe('stackBelow on a source that no line shows', () => {
  const sources = [
    source('U1', 60e3, { tolerancePpm: 20_000 }),
    source('TWICE', 120e3, { tolerancePpm: 20_000 }),
    source('HALF', 30e3, { tolerancePpm: 20_000 }),
    source('ELSE', 91e3, { tolerancePpm: 30_000 }),
  ];

  it('finds its fundamental, and does not name the entries at twice and half of it', () => {
    for (const seed of [1, 2, 3, 4]) {
      const out = below({ seed, known: false, overFloorDb: -1, points: 4000, sources });
      const own = out.find((one) => one.source === 'U1')!;
      expect(own.chance).toBeLessThan(1e-3);
      expect(Math.abs(own.fundamentalHz! - FUNDAMENTAL_HZ)).toBeLessThan(4 * own.fundamentalSigmaHz!);
      expect(Math.abs(own.meanOverFloorDb! + 1)).toBeLessThan(3 * own.sigmaDb! + 0.3);
      expect(out.filter((one) => one.meanOverFloorDb !== null).map((one) => one.source)).toEqual(['U1']);
    }
  });

  it('claims nothing of noise alone, and its limit holds wherever in the tolerance the comb runs', () => {
    let claimed = 0;
    let missed = 0;
    for (const seed of SEEDS.slice(0, 30)) {
      if (below({ seed, known: false, sources }).some((one) => one.chance < 0.1)) claimed++;
      if (below({ seed, known: false, overFloorDb: -5 })[0]!.upperLimitOverFloorDb! < -5) missed++;
    }
    expect(claimed).toBeLessThanOrEqual(most(0.1, 30));
    expect(missed).toBeLessThanOrEqual(most(0.05, 30));
  });

  it('names both entries where two could run at the fundamental found', () => {
    const twins = [source('U1', 60e3, { tolerancePpm: 20_000 }), source('U2', 60.2e3, { tolerancePpm: 20_000 })];
    const out = below({ seed: 5, known: false, overFloorDb: 0, sources: twins });
    expect(out.map((one) => one.couldAlsoBe)).toEqual([['U2'], ['U1']]);
  });

  it('leaves out what is off, and follows a lock instead of searching', () => {
    const locked = source('L', 90e3, { lock: { to: 'U1', numerator: 3, denominator: 2 } });
    const out = below({ seed: 6, sources: [source('U1', 60e3), locked, source('OFF', 77e3)], sourcesOff: ['OFF'] });
    expect(out.map((one) => one.source)).toEqual(['U1', 'L']);
    expect(out[1]!.trials).toBe(1);
    expect(out[1]!.fundamentalHz).toBeCloseTo(1.5 * FUNDAMENTAL_HZ, 3);
  });

  it('states no limit where points lie farther apart than the bandwidth, and says why', () => {
    // points 1 kHz apart
    const known = below({ seed: 8, statedRbwHz: 900, overFloorDb: -3 });
    const sought = below({ seed: 8, statedRbwHz: 900, known: false });
    for (const one of [...known, ...sought]) {
      expect([one.upperLimitOverFloorDb, one.meanOverFloorDb, one.chance]).toEqual([null, null, 1]);
      expect(one.why).toContain('farther apart than the resolution bandwidth');
    }
    expect([...known, ...sought].map(({ source }) => source)).toEqual(['U1', 'U1']);
  });

  it('says of decibels averaged, or the largest kept, that the limit is for lines that are alike', () => {
    for (const averaging of ['power', 'log', 'max-hold'] as const) {
      const { why } = below({ seed: 9, averaging })[0]!;
      expect(why.includes('if its lines are alike'), why).toBe(averaging !== 'power');
    }
  });
});
