import { expect, test } from 'vitest';
import { planFrequencies } from '../../../src-main/engine/plan.ts';
import { planRisks } from '../../../src-main/engine/try-plan.ts';
import { nodeEnvelope, nodeHarmonic } from '../../../src-main/model/switching-wave.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Band } from '../../../src-main/model/band.ts';
import { aBand, aSource, adjustable, settings } from './plan-lists.ts';

const risks = (sources: readonly Source[], bands: readonly Band[], change = {}) =>
  planRisks({ sources, bands, settings: settings(change), chosen: [] });
const lock = (to: string, numerator: number, denominator: number) => ({ lock: { to, numerator, denominator } });

// check-values §8: the six regulators of one satellite and their beats
const SIX = [117.6e3, 118.4e3, 119.3e3, 120.7e3, 121.0e3, 121.1e3];
test('the difference lines of six published regulators lie where they were computed', () => {
  const { beats } = risks(
    SIX.map((hz, i) => aSource(`R${i}`, hz)),
    [aBand(50, 3600, 100)],
  );
  const first = beats.filter(({ firstHarmonic, secondHarmonic }) => firstHarmonic + secondHarmonic === 2);
  const kHz = first.map(({ lowHz }) => lowHz / 1e3).sort((a, b) => a - b);
  const published = [0.1, 0.3, 0.4, 0.8, 0.9, 1.4, 1.7, 1.7, 1.8, 2.3, 2.6, 2.7, 3.1, 3.4, 3.5];
  expect(kHz).toHaveLength(published.length);
  kHz.forEach((value, i) => expect(value).toBeCloseTo(published[i]!, 9));
});

test('a beat widens by both tolerances times their harmonics, and sources on one clock have none', () => {
  const free = [aSource('A', 1e6, { tolerancePpm: 1000 }), aSource('B', 1.3e6, { tolerancePpm: 2000 })];
  const band = aBand(290e3, 310e3, 1e3);
  const [beat] = risks(free, [band]).beats;
  expect(beat).toMatchObject({ first: 'A', second: 'B', firstHarmonic: 1, secondHarmonic: 1, sign: -1 });
  expect([beat!.lowHz, beat!.highHz].map(Math.round)).toEqual([296_400, 303_600]);
  const clock = aSource('XO', 10e6, { kind: 'clock', maxHarmonic: 1 });
  const bound = [clock, aSource('A', 1e6, lock('XO', 1, 10)), aSource('B', 1.25e6, lock('XO', 1, 8))];
  expect(risks(bound, [band]).beats).toEqual([]);
});

test('two sources on one clock add in step where their lines fall together, 6 dB for equal lines', () => {
  const clock = aSource('XO', 12e6, { kind: 'clock', maxHarmonic: 1 });
  const sources = [clock, aSource('A', 400e3, lock('XO', 1, 30)), aSource('B', 600e3, lock('XO', 1, 20))];
  const { inStep } = risks(sources, [aBand(2e6, 6.1e6, 10e3)]);
  expect(inStep).toHaveLength(1);
  // common at multiples of 1.2 MHz: 2.4, 3.6, 4.8, 6.0
  expect(inStep[0]).toMatchObject({ first: 'A', second: 'B', commonHz: 1.2e6, linesInBands: 4, lowestLineHz: 2.4e6 });
  expect(inStep[0]!.riseDb).toBeCloseTo(6.0206, 4);
  // half a period of the common frequency turns odd common lines over and leaves even ones
  const turns = inStep[0]!.delayS * 1.2e6;
  expect([1, 2, 3].map((j) => Math.cos(2 * Math.PI * j * turns))).toEqual([
    expect.closeTo(-1, 9),
    expect.closeTo(1, 9),
    expect.closeTo(-1, 9),
  ]);
});

test('a lock that fails gives the source its own tolerance back, and those it clocks go along', () => {
  const sources = [
    aSource('XO', 10e6, { kind: 'clock', maxHarmonic: 1 }),
    aSource('A', 500e3, { ...lock('XO', 1, 20), tolerancePpm: 100_000 }),
    aSource('B', 250e3, { ...lock('A', 1, 2), tolerancePpm: 0, maxHarmonic: 10 }),
  ];
  const band = aBand(5e6, 10e6, 10e3);
  const { lostLocks, robustness } = risks(sources, [band]);
  expect(lostLocks.map(({ source }) => source)).toEqual(['A', 'B']);
  // ±10 %: from harmonic 5 on everything
  expect(lostLocks[0]!.lostChannels).toBe(500);
  expect(lostLocks[1]!.lostChannels).toBe(robustness.worstChannels);
});

test('no draw loses more than the worst case; without any range every draw is the worst case', () => {
  const band = aBand(2e6, 8e6, 5e3);
  const loose = risks(
    [aSource('A', 310e3, { tolerancePpm: 3000 }), aSource('B', 470e3, { tolerancePpm: 3000 })],
    [band],
    {
      draws: 200,
    },
  ).robustness;
  expect(loose.highChannels).toBeLessThan(loose.worstChannels);
  expect(loose.lowChannels).toBeLessThanOrEqual(loose.medianChannels);
  // 19 and 12 harmonics between 2 and 8 MHz at most, one channel each as seldom two
  expect(loose.medianChannels).toBeGreaterThan(25);
  expect(loose.medianChannels).toBeLessThan(36);
  const exact = risks([aSource('A', 310e3)], [band]).robustness;
  expect([exact.lowChannels, exact.medianChannels, exact.highChannels]).toEqual(Array(3).fill(exact.worstChannels));
});

test('the same seed draws the same, another seed otherwise', () => {
  const sources = [aSource('A', 310e3, { tolerancePpm: 3000 }), aSource('B', 470e3, { tolerancePpm: 3000 })];
  const of = (seed: number) => JSON.stringify(risks(sources, [aBand(2e6, 8e6, 5e3)], { draws: 3, seed }).robustness);
  expect(of(1)).toBe(of(1));
  expect(new Set([1, 2, 3, 4, 5].map(of)).size).toBeGreaterThan(1);
});

test('one new clock puts all sources on multiples of one spacing, inside their ranges', () => {
  const sources = [
    aSource('A', 310e3, { tolerancePpm: 20_000, ...adjustable(250e3, 350e3, null) }),
    aSource('B', 520e3, { tolerancePpm: 20_000, ...adjustable(450e3, 700e3, null) }),
    aSource('C', 900e3, { tolerancePpm: 20_000, ...adjustable(800e3, 1e6, null) }),
  ];
  const { commonClocks, today, plans } = planFrequencies({
    sources,
    bands: [aBand(5e6, 15e6, 10e3)],
    settings: settings(),
  });
  expect(commonClocks.length).toBeGreaterThan(0);
  const [best] = commonClocks;
  for (const { source, divider, frequencyHz } of best!.dividers) {
    expect(Number.isInteger(divider)).toBe(true);
    expect(best!.clockHz / divider).toBeCloseTo(frequencyHz, 3);
    const { adjust } = sources.find(({ designator }) => designator === source)!;
    expect(frequencyHz).toBeGreaterThanOrEqual(adjust!.lowHz - 1);
    expect(frequencyHz).toBeLessThanOrEqual(adjust!.highHz + 1);
  }
  expect(best!.lostChannels).toBeLessThan(today.lostChannels / 4);
  expect(best!.lostChannels).toBeLessThan(Math.min(...plans.map(({ lostChannels }) => lostChannels)));
});

test('a new clock is sought among multiples of the channel width: on the centres every line costs one channel, not two', () => {
  // centres at the multiples of 10 kHz; the clock's own ±100 ppm stay inside a channel
  const band = aBand(10e6, 20e6, 10e3, { channelOriginHz: 5e3 });
  const sources = [
    aSource('A', 213e3, { tolerancePpm: 20_000, ...adjustable(201e3, 239e3, null) }),
    aSource('B', 427e3, { tolerancePpm: 20_000, ...adjustable(402e3, 478e3, null) }),
  ];
  const [best] = planFrequencies({ sources, bands: [band], settings: settings() }).commonClocks;
  const [a, b] = best!.dividers.map(({ frequencyHz }) => frequencyHz) as [number, number];
  expect((a / 10e3) % 1).toBeCloseTo(0, 9);
  expect(b).toBeCloseTo(2 * a, 6);
  expect(best!.lostChannels).toBe(Math.floor(20e6 / a) - Math.ceil(10e6 / a) + 1);
});

// check-values §6.1: 5 V, 1 MHz, 50 %, 20 ns; peak volts of harmonic n, and the envelope in dBµV
test.each([
  [1, 3.181, 130.06],
  [3, 1.05476, 120.51],
  [5, 0.626199, 116.08],
  [9, 0.335127, 110.97],
  [25, 0.0810569, 98.18],
  [49, 0.00132487, 86.49],
  [101, 3.1183e-4, 73.92],
])('harmonic %d of the published trapezoid has %d V at the node, envelope %d dBµV', (n, volts, envelopeDb) => {
  const wave = { frequencyHz: 1e6, duty: 0.5, riseS: 20e-9 };
  expect(5 * nodeHarmonic(n, wave)).toBeCloseTo(volts, volts > 0.01 ? 5 : 8);
  expect(120 + 20 * Math.log10(5 * nodeEnvelope(n, wave))).toBeCloseTo(envelopeDb, 1);
  expect(nodeHarmonic(n, wave)).toBeLessThanOrEqual(nodeEnvelope(n, wave) * (1 + 1e-12));
});

test('even harmonics of a wave of half duty are nil at the node, whatever the envelope says', () => {
  const wave = { frequencyHz: 1e6, duty: 0.5, riseS: 20e-9 };
  expect(nodeHarmonic(2, wave)).toBeLessThan(1e-15);
  expect(nodeEnvelope(2, wave)).toBeGreaterThan(0.1);
});
