import { expect, test } from 'vitest';
import { tryPlan } from '../../../src-main/engine/try-plan.ts';
import type { Band } from '../../../src-main/model/band.ts';
import type { Source } from '../../../src-main/model/source.ts';
import { aBand, aSource, settings } from './plan-lists.ts';

const today = (sources: readonly Source[], bands: readonly Band[], change = {}) =>
  tryPlan({ sources, bands, settings: settings(change), chosen: [] });
const lost = (sources: readonly Source[], bands: readonly Band[], change = {}) =>
  today(sources, bands, change).plan.lostChannels;

/** 10 … 20 MHz in channels of 10 kHz whose edges lie at odd multiples of 5 kHz: multiples of 10 kHz are centres. */
const CENTRED = aBand(10e6, 20e6, 10e3, { channelOriginHz: 5e3 });

const harmonicsIn = (f: number, { lowHz, highHz }: Band) => Math.floor(highHz / f) - Math.ceil(lowHz / f) + 1;

test.each([137e3, 200e3, 310e3, 1.234e6, 9e6])('a source at %d Hz costs one channel a harmonic in the band', (f) => {
  const band = aBand(10e6, 20e6, 7e3);
  // no harmonic of these lies on an edge: 7 kHz channels from 10 MHz on
  const onEdge = Array.from({ length: 300 }, (_, i) => (i + 1) * f).some(
    (hz) => (hz - 10e6) % 7e3 === 0 && hz >= 10e6 && hz <= 20e6,
  );
  expect(onEdge ? 'edge' : lost([aSource('A', f)], [band])).toBe(onEdge ? 'edge' : harmonicsIn(f, band));
});

test('a locked source costs exactly its harmonics in the band', () => {
  const clock = aSource('XO', 10e6, { kind: 'clock', maxHarmonic: 1, nominalHz: 30e6 });
  const locked = aSource('A', 200e3, { lock: { to: 'XO', numerator: 1, denominator: 150 } });
  expect(lost([clock, locked], [CENTRED])).toBe(51);
});

test('sources at f and 2 f cost the union, which is the comb of f', () => {
  const both = today([aSource('A', 250e3), aSource('B', 500e3)], [CENTRED]).plan;
  expect(both.lostChannels).toBe(lost([aSource('A', 250e3)], [CENTRED]));
  expect(both.sources[0]).toMatchObject({ soleChannels: 20, sharedChannels: 21 });
  expect(both.sources[1]).toMatchObject({ soleChannels: 0, sharedChannels: 21 });
});

test.each([
  [2, 3, 100e3],
  [3, 5, 70e3],
  [7, 9, 40e3],
  [4, 9, 60e3],
])('coprime multiples %d and %d of a base cost |A| + |B| − |A ∩ B|', (p, q, base) => {
  const [a, b, both] = [p * base, q * base, p * q * base].map((f) => harmonicsIn(f, CENTRED)) as [
    number,
    number,
    number,
  ];
  expect(lost([aSource('A', p * base), aSource('B', q * base)], [CENTRED])).toBe(a + b - both);
});

// check-values §8, computed: 37.5–38.25 MHz
test.each([
  [500e3, 2],
  [760e3, 1],
  [1e6, 1],
  [1.3e6, 1],
  [1.5e6, 1], // the 25th on the edge
  [1.55e6, 0], // 37.20 and 38.75 MHz
])('of the harmonics of %d Hz, %d lie in 37.5 … 38.25 MHz', (f, inside) => {
  const band = aBand(37.5e6, 38.25e6, 10e3, { channelOriginHz: 37.495e6 });
  expect(lost([aSource('A', f)], [band])).toBe(inside);
  expect(lost([aSource('A', f)], [aBand(37.5e6, 38.25e6, null)])).toBe(Math.min(1, inside));
});

test('the band is harmonic-free with a tolerance iff (n + 1)(1 − δ) f0 > fH and n (1 + δ) f0 < fL', () => {
  const band = aBand(37.5e6, 38.25e6, null);
  for (let ppm = 0; ppm < 20_000; ppm += 250) {
    const [f, d] = [1.55e6, ppm * 1e-6];
    const isFree = 25 * (1 - d) * f > 38.25e6 && 24 * (1 + d) * f < 37.5e6;
    expect(lost([aSource('A', f, { tolerancePpm: ppm })], [band]), `${ppm} ppm`).toBe(isFree ? 0 : 1);
  }
});

test('the worked grid: 40.96 MHz / 4096 gives 10 kHz bins, and multiples of 200 kHz lie on the centre of every 20th', () => {
  const bin = 40.96e6 / 4096;
  expect(bin).toBe(10e3);
  const band = aBand(0, 20.475e6, bin, { channelOriginHz: -bin / 2, sampleRateHz: 40.96e6 });
  const one = today([aSource('A', 200e3, { maxHarmonic: 102 })], [band]);
  const bins = [...one.owners[0]!.channels.entries()].filter(([, owners]) => owners > 0).map(([i]) => i);
  expect(bins).toEqual(Array.from({ length: 102 }, (_, i) => (i + 1) * 20));
  // multiples of the base add nothing under half the sample rate
  const many = [600e3, 1.4e6].map((f, i) => aSource(`S${i}`, f, { maxHarmonic: Math.floor(20.4e6 / f) }));
  for (const [i, owners] of today(many, [band]).owners[0]!.channels.entries()) if (owners > 0) expect(i % 20).toBe(0);
  // 40.96 MHz is no multiple of 200 kHz: what folds lies on centres too, but on every 4th bin
  const folded = today([aSource('A', 200e3, { maxHarmonic: 2000 })], [band]).owners[0]!.channels;
  expect([...folded.entries()].filter(([, n]) => n > 0).map(([i]) => i % 4)).not.toContain(1);
  expect([...folded].filter((n) => n > 0).length).toBe(512);
});

test('a line on the edge between two channels costs both, one on the end of the band only the channel inside', () => {
  const band = aBand(1e6, 2e6, 100e3);
  expect(lost([aSource('A', 1.2e6)], [band])).toBe(2);
  expect(lost([aSource('A', 1e6, { maxHarmonic: 1 })], [band])).toBe(1);
  expect(lost([aSource('A', 1.25e6)], [band])).toBe(1);
});

test('leakage widens every line to both sides, zero leaves it', () => {
  const band = aBand(1e6, 2e6, 100e3);
  const source = aSource('A', 1.25e6);
  expect([0, 49e3, 51e3, 151e3].map((leakageHz) => lost([source], [band], { leakageHz }))).toEqual([1, 1, 3, 5]);
});

test.each([
  [100, 5000],
  [1000, 500],
  [10_000, 50],
  [100_000, 5],
])('at ±%d ppm neighbouring harmonics meet from n = %d on (check-values §7.2)', (ppm, n) => {
  const { plan } = today([aSource('A', 1e6, { tolerancePpm: ppm })], [aBand(1e6, 2e6, null)]);
  expect(plan.sources[0]).toMatchObject({ blursFromHarmonic: n, halfWidthPpm: ppm });
});

test('from the blurring harmonic on every channel is lost', () => {
  const band = aBand(10e6, 40e6, 10e3);
  const { owners } = today([aSource('A', 500e3, { tolerancePpm: 10_000 })], [band]);
  const free = [...owners[0]!.channels.entries()].filter(([, n]) => n === 0).map(([i]) => 10e6 + i * 10e3);
  expect(free.length).toBeGreaterThan(0);
  expect(Math.max(...free)).toBeLessThan(50 * 500e3);
  expect(Math.max(...free)).toBeGreaterThan(47 * 500e3);
});

test('tolerance, drift over the temperature range and half the spread add up', () => {
  const source = aSource('A', 1e6, { tolerancePpm: 100, driftPpmPerK: -5, spreadPpm: 600 });
  const { plan } = today([source], [aBand(1e6, 2e6, null)], { temperatureSpanK: 20 });
  expect(plan.sources[0]!.halfWidthPpm).toBeCloseTo(100 + 5 * 20 + 300, 9);
});

test('max_harmonic ends the comb', () => {
  expect(lost([aSource('A', 250e3, { maxHarmonic: 45 })], [CENTRED])).toBe(6);
  expect(lost([aSource('A', 250e3, { maxHarmonic: 39 })], [CENTRED])).toBe(0);
});

test('a weight counts every lost channel of its band', () => {
  const bands = [aBand(1e6, 2e6, 7e3, { name: 'a', weight: 3 }), aBand(3e6, 4e6, 7e3, { name: 'b', weight: 0.5 })];
  const { plan } = today([aSource('A', 1.51e6)], bands);
  expect(plan.bands.map(({ lost }) => lost)).toEqual([1, 1]);
  expect(plan.lostWeight).toBe(3.5);
});
