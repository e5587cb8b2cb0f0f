import { describe, expect, test } from 'vitest';
import { Envelope } from '../../../src-main/engine/timing/envelope.ts';
import { findBursts } from '../../../src-main/engine/timing/find-bursts.ts';
import { findRepetition } from '../../../src-main/engine/timing/find-repetition.ts';
import { agreementWithLog } from '../../../src-main/engine/timing/log-agreement.ts';
import type { Burst } from '../../../src-main/model/time-structure.ts';
import { studentTail } from '../../../src-main/engine/numeric/student-tail.ts';
import { hasScipy, NO_SCIPY, python } from '../../scipy.ts';
import { seeded } from '../attribution/scene.ts';

const at = (starts: readonly number[], lengthS = 1e-3): Burst[] =>
  starts.map((startS) => ({ startS, endS: startS + lengthS, overBaseDb: 10 }));

describe('Envelope', () => {
  test('is the mean square of each step, whatever the pieces, of I/Q half of |z|²', () => {
    const x = Float64Array.from({ length: 12 }, (_, n) => n);
    for (const piece of [1, 5, 12]) {
      const envelope = new Envelope(4);
      for (let i = 0; i < 12; i += piece) envelope.push(x.subarray(i, i + piece), null);
      expect([...envelope.powers()]).toEqual([14 / 4, 126 / 4, 366 / 4]);
    }
    const iq = new Envelope(2);
    iq.push(Float64Array.of(3, 3), Float64Array.of(4, 4));
    expect([...iq.powers()]).toEqual([12.5]);
  });

  test('steps of no whole number of samples stay on the stream’s grid and never drift', () => {
    const envelope = new Envelope(2.5);
    envelope.push(new Float64Array(1000).fill(1), null);
    expect(envelope.powers()).toHaveLength(400);
  });
});

describe('findBursts(powerDb, stepS, startS)', () => {
  const noise = (steps: number, seed: number): Float64Array => {
    const { normal } = seeded(seed);
    return Float64Array.from({ length: steps }, () => -80 + 0.3 * normal());
  };

  test('gives beginning, end and height of steps that stand out, by hand', () => {
    const power = noise(1000, 1);
    for (let i = 100; i < 110; i++) power[i] = -60;
    for (let i = 500; i < 501; i++) power[i] = -70;
    const { bursts, baseDb } = findBursts(power, 0.01, 5);
    expect(Math.abs(baseDb + 80)).toBeLessThan(0.3);
    expect(bursts).toHaveLength(2);
    expect(bursts[0]!.startS).toBeCloseTo(6, 9);
    expect(bursts[0]!.endS).toBeCloseTo(6.1, 9);
    expect(Math.abs(bursts[0]!.overBaseDb - 20)).toBeLessThan(0.4);
    expect(bursts[1]).toMatchObject({ startS: 10 });
  });

  test('quiet noise gives none in a hundred records, and a signal that is mostly on is told from its pauses', () => {
    let found = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const wide = noise(1000, seed).map((level) => -80 + 5 * (level + 80));
      found += findBursts(wide, 1, 0).bursts.length;
    }
    // 5 expected at 0.05 a record, somewhat more since the spread is estimated; 16 would come in one of 10 000 runs
    expect(found).toBeLessThan(16);
    const power = noise(1000, 3);
    for (let i = 0; i < 1000; i++) if (i % 10 < 6) power[i]! += 15;
    expect(findBursts(power, 1, 0).bursts).toHaveLength(100);
  });

  test('too few steps, zeros of a linear level and a single level give none', () => {
    expect(findBursts(new Float64Array(3), 1, 0).bursts).toEqual([]);
    expect(findBursts(new Float64Array(100).fill(-Infinity), 1, 0).bursts).toEqual([]);
    expect(findBursts(new Float64Array(100).fill(-5), 1, 0).bursts).toEqual([]);
  });
});

describe('findRepetition(bursts, stepS)', () => {
  test('gives rate and uncertainty of an even raster, with the places that were skipped', () => {
    const { normal } = seeded(5);
    const places = Array.from({ length: 40 }, (_, k) => k).filter((k) => k % 7 !== 3 && k % 11 !== 5);
    const found = findRepetition(at(places.map((k) => 0.2 + k * 0.0125 + 1e-5 * normal())), 1e-5)!;
    expect(Math.abs(found.rateHz - 80)).toBeLessThan(4 * found.rateSigmaHz);
    expect(found.rateSigmaHz).toBeLessThan(0.05);
    expect(found.seen).toBe(places.length);
    expect(found.skipped).toBe(places.at(-1)! + 1 - places.length);
    expect(found.jitterS).toBeLessThan(3e-5);
  });

  test('its stated uncertainty holds: 95 % of 300 rates within two of it', () => {
    const { normal } = seeded(9);
    let within = 0;
    for (let trial = 0; trial < 300; trial++) {
      const found = findRepetition(at(Array.from({ length: 20 }, (_, k) => k * 0.01 + 2e-4 * normal())), 1e-6)!;
      if (Math.abs(found.rateHz - 100) <= 2 * found.rateSigmaHz) within++;
    }
    // 95.4 % expected; four standard deviations of 300 trials are 4.8 %
    expect(within / 300).toBeGreaterThan(0.9);
  });

  test('bursts at random times repeat in hardly any of 200 records, and three are too few', () => {
    const { uniform } = seeded(7);
    let claimed = 0;
    for (let trial = 0; trial < 200; trial++) {
      const starts = Array.from({ length: 12 }, () => uniform() * 10).sort((a, b) => a - b);
      if (findRepetition(at(starts), 1e-3) !== null) claimed++;
    }
    expect(claimed).toBeLessThanOrEqual(4);
    expect(findRepetition(at([0, 1, 2]), 1e-3)).toBeNull();
    expect(findRepetition([], 1e-3)).toBeNull();
  });
});

describe('agreementWithLog', () => {
  const log = { timeS: Float64Array.of(0, 10, 20, 30, 40, 50), value: Float64Array.of(0, 1, 0, 1, 0, 0) };
  const envelope = (seed: number, follows: boolean) => {
    const { normal } = seeded(seed);
    return Float64Array.from({ length: 100 }, (_, i) => {
      const on = follows && Math.floor((0.5 * i + 0.25) / 10) % 2 === 1;
      return -80 + normal() + (on ? 6 : 0);
    });
  };

  test('an envelope that follows the log agrees at the stated offset and not at another', () => {
    const good = agreementWithLog(envelope(1, true), 100, 0.5, log, 100)!;
    expect(good.correlation).toBeGreaterThan(0.8);
    expect(good.stepDb).toBeGreaterThan(5);
    expect(good.chance).toBeLessThan(1e-3);
    const late = agreementWithLog(envelope(1, true), 100, 0.5, log, 95)!;
    expect(Math.abs(late.correlation)).toBeLessThan(0.3);
  });

  test('unrelated noise is claimed at the rate that its chance says', () => {
    let claimed = 0;
    for (let seed = 1; seed <= 200; seed++)
      if (agreementWithLog(envelope(seed, false), 0, 0.5, log, 0)!.chance < 0.05) claimed++;
    // 10 expected of 200; four standard deviations are 12
    expect(claimed).toBeLessThanOrEqual(22);
  });

  test('steps outside the log do not count; too few, or a log that never changes, say nothing', () => {
    expect(agreementWithLog(envelope(1, true), 1000, 0.5, log, 0)).toBeNull();
    const flat = { timeS: log.timeS, value: new Float64Array(6) };
    expect(agreementWithLog(envelope(1, true), 0, 0.5, flat, 0)).toBeNull();
  });
});

describe('studentTail(t, degrees)', () => {
  // Student's t, two-sided 5 % points of any handbook's table
  test.each([
    [12.7062, 1],
    [2.5706, 5],
    [2.2281, 10],
    [2.0423, 30],
  ])('%f at %i degrees of freedom leaves 5 %%', (t, degrees) => {
    expect(studentTail(t, degrees)).toBeCloseTo(0.05, 5);
  });

  test.skipIf(!hasScipy)(`agrees with scipy.stats.t${hasScipy ? '' : ` (skipped: ${NO_SCIPY})`}`, () => {
    const cases = [0, 0.1, 1, 2.5, 7, 30].flatMap((t) =>
      [1, 1.7, 4, 12.3, 200].map((degrees) => [t, degrees] as const),
    );
    const theirs = python<number[]>(
      cases,
      'import scipy.stats as s\nprint(json.dumps([2 * s.t.sf(t, d) for t, d in data]))',
    );
    for (const [i, [t, degrees]] of cases.entries()) expect(studentTail(t, degrees) / theirs[i]!).toBeCloseTo(1, 6);
  });
});
