import { expect, test } from 'vitest';
import { channelGrid } from '../../../src-main/engine/planning/channel-grid.ts';
import { combChannels } from '../../../src-main/engine/planning/comb-channels.ts';
import { hasBit } from '../../../src-main/engine/numeric/bitset.ts';
import { seededRandom } from '../../../src-main/engine/numeric/random.ts';
import type { Band } from '../../../src-main/model/band.ts';
import { aBand } from './plan-lists.ts';

const taken = (band: Band, comb: Parameters<typeof combChannels>[0], foldedHarmonics = 100): number[] => {
  const grid = channelGrid([band]);
  const bits = combChannels(comb, grid, { leakageHz: 0, foldedHarmonics });
  return Array.from({ length: grid.bands[0]!.channels }, (_, i) => i).filter((i) => hasBit(bits, i));
};

/** Walks every harmonic and every path one by one, and every channel by comparing its ends. */
function slowTwin(band: Band, f: number, d: number, last: number): number[] {
  const channelHz = band.channelHz!;
  const count = Math.ceil((band.highHz - band.lowHz) / channelHz - 1e-9);
  const found = new Set<number>();
  const put = (a: number, b: number) => {
    const [lo, hi] = [Math.min(a, b), Math.max(a, b)];
    for (let i = 0; i < count; i++)
      if (hi >= band.lowHz + i * channelHz && lo <= band.lowHz + (i + 1) * channelHz && lo <= band.highHz) found.add(i);
  };
  const fs = band.sampleRateHz;
  const lo2 = 2 * (band.localOscillatorHz ?? 0);
  for (let n = 1; n <= last; n++) {
    const [a, b] = [n * f * (1 - d), n * f * (1 + d)];
    put(a, b);
    if (band.localOscillatorHz !== null) put(lo2 - a, lo2 - b);
    if (fs !== null)
      for (let k = -400; k <= 400; k++) {
        put(a + k * fs, b + k * fs);
        put(lo2 - a + k * fs, lo2 - b + k * fs);
      }
  }
  return [...found].sort((x, y) => x - y);
}

test('a harmonic above half the sample rate folds to where a hand says: 9 MHz at 10 MHz to 1 MHz', () => {
  const band = aBand(0.5e6, 1.5e6, 100e3, { sampleRateHz: 10e6 });
  expect(taken(band, { frequencyHz: 3.017e6, halfWidth: 0, maxHarmonic: 3 })).toEqual([4]); // 9.051 → 0.949
});

test('a mixing receiver hears the image at 2 LO − f', () => {
  const band = aBand(10e6, 11e6, 100e3, { localOscillatorHz: 15e6 });
  // image band 19 … 20 MHz; 19.25 MHz converts to where 10.75 MHz does
  expect(taken(band, { frequencyHz: 19.25e6, halfWidth: 0, maxHarmonic: null })).toEqual([7]);
});

test.each(Array.from({ length: 40 }, (_, i) => i))(
  'case %d agrees with a walk over every harmonic and path',
  (seed) => {
    const random = seededRandom(seed);
    const lowHz = 1e6 + random() * 20e6;
    const band = aBand(lowHz, lowHz + 1e6 + random() * 3e6, 9.7e3 + random() * 40e3, {
      sampleRateHz: seed % 2 === 0 ? 9e6 + random() * 40e6 : null,
      localOscillatorHz: seed % 3 === 0 ? 5e6 + random() * 30e6 : null,
    });
    const f = 90e3 + random() * 2e6;
    const d = random() < 0.5 ? 0 : random() * 5e-3;
    const last = 1 + Math.floor(random() * 120);
    expect(taken(band, { frequencyHz: f, halfWidth: d, maxHarmonic: last })).toEqual(slowTwin(band, f, d, last));
  },
);

test('without max_harmonic folding is followed to the stated harmonic, directly to the top of the band', () => {
  const band = aBand(1e6, 3e6, 10e3, { sampleRateHz: 41e6 });
  const comb = { frequencyHz: 200.3e3, halfWidth: 0, maxHarmonic: null };
  expect(taken(band, comb)).toEqual(slowTwin(band, 200.3e3, 0, 100));
  expect(taken(band, comb, 300)).toEqual(slowTwin(band, 200.3e3, 0, 300));
});

test.each([
  ['a comb finer than a channel fills the band', aBand(1e6, 2e6, 10e3), 3e3, 0],
  ['a comb of one hertz is worked out at once', aBand(1e6, 2e9, 1e6, { sampleRateHz: 5e9 }), 1, 0],
  ['a range of 100 % fills the band', aBand(1e6, 2e6, 10e3), 1e6, 1],
  ['also with an oscillator', aBand(1e6, 2e6, 10e3, { localOscillatorHz: 1e8 }), 2, 1],
] as const)('%s', (_, band, frequencyHz, halfWidth) => {
  const all = taken(band, { frequencyHz, halfWidth, maxHarmonic: null });
  expect(all).toHaveLength(channelGrid([band]).channels);
});

test('channels reach over the band where the grid does not end with it, and none is counted twice', () => {
  const grid = channelGrid([
    aBand(1.005e6, 2e6, 100e3, { channelOriginHz: 0 }),
    aBand(3e6, 3.25e6, 100e3, { name: 'b' }),
  ]);
  expect(grid.bands.map(({ channels, gridLowHz }) => [channels, gridLowHz])).toEqual([
    [10, 1e6],
    [3, 3e6],
  ]);
  expect(grid.bands[1]!.firstBit % 32).toBe(0);
});
