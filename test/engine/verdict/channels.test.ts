import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cellsTouched, channelsOf, piecesOf } from '../../../src-main/engine/verdict/channel-grid.ts';
import { reachInChannels, windowResponseDb } from '../../../src-main/engine/verdict/channel-response.ts';
import { imagesOf, inBand, zoneOf } from '../../../src-main/engine/verdict/images.ts';
import { handBand } from './bands.ts';

test('channels begin at the origin and go on to both sides; what only reaches into the band counts', () => {
  const edges = (more: Parameters<typeof handBand>[0]) =>
    channelsOf(handBand(more)).map(({ lowHz, highHz }) => [lowHz, highHz]);
  expect(edges({ lowHz: 0, highHz: 30, channelHz: 10 })).toEqual([
    [0, 10],
    [10, 20],
    [20, 30],
  ]);
  expect(edges({ lowHz: 0, highHz: 30, channelHz: 10, channelOriginHz: 105 })).toEqual([
    [0, 5],
    [5, 15],
    [15, 25],
    [25, 30],
  ]);
  // 0.1 is no binary number: ten channels, not eleven
  expect(edges({ lowHz: 0.3, highHz: 1.3, channelHz: 0.1 })).toHaveLength(10);
  expect(edges({ channelHz: null })).toEqual([[2e6, 3e6]]);
});

test('a band without channels is judged in a hundred even pieces that leave nothing out', () => {
  const pieces = piecesOf(handBand({ channelHz: null }));
  expect(pieces).toHaveLength(100);
  pieces.forEach(({ lowHz }, i) => i > 0 && expect(lowHz).toBeCloseTo(pieces[i - 1]!.highHz, 6));
  expect([pieces[0]!.lowHz, pieces[99]!.highHz]).toEqual([2e6, 3e6]);
});

test('the cells that a range touches are those a slow look at every cell finds, edges included', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 0, max: 60 }),
      fc.integer({ min: 0, max: 2200 }),
      fc.integer({ min: 0, max: 300 }),
      (channel, origin, low, width) => {
        const band = handBand({ lowHz: 500, highHz: 1500, channelHz: channel, channelOriginHz: origin });
        const cells = channelsOf(band);
        const slow = cells.flatMap((cell, i) => (low <= cell.highHz && low + width >= cell.lowHz ? [i] : []));
        const fast = cellsTouched(cells, low, low + width);
        expect(fast === null ? [] : [fast[0], fast[1]]).toEqual(slow.length === 0 ? [] : [slow[0], slow.at(-1)]);
      },
    ),
    { seed: 6, numRuns: 500 },
  );
});

test('a line on the edge between two channels spoils both, one beside it spoils one', () => {
  const cells = channelsOf(handBand());
  expect(cellsTouched(cells, 2.02e6, 2.02e6)).toEqual([0, 1]);
  expect(cellsTouched(cells, 2.0201e6, 2.0201e6)).toEqual([1, 1]);
  expect(cellsTouched(cells, 2e6, 2e6)).toEqual([0, 0]);
  expect(cellsTouched(cells, 3e6, 3e6)).toEqual([49, 49]);
  expect(cellsTouched(cells, 3.0001e6, 3.1e6)).toBeNull();
});

test('window responses at half a channel are the published scalloping losses', () => {
  // Harris 1978 and computed from the coefficients; flat-top D’Antona & Ferrero 2006
  expect(windowResponseDb('rectangular', 0.5)).toBeCloseTo(-3.9224, 3);
  expect(windowResponseDb('hann', 0.5)).toBeCloseTo(-1.4236, 3);
  expect(windowResponseDb('hamming', 0.5)).toBeCloseTo(-1.7514, 3);
  expect(windowResponseDb('blackman-harris', 0.5)).toBeCloseTo(-0.8256, 3);
  expect(windowResponseDb('flat-top', 0.5)).toBeCloseTo(-0.0098, 3);
  // 6 dB bandwidths in bins: 2.0000 and 2.6664
  expect(windowResponseDb('hann', 1)).toBeCloseTo(-6.0206, 3);
  expect(windowResponseDb('blackman-harris', 2.6664 / 2)).toBeCloseTo(-6.02, 1);
});

test('leakage reaches farther the more a line exceeds, and never stops at a null between side lobes', () => {
  expect(reachInChannels('sharp', 60)).toBe(0.5);
  for (const response of ['rectangular', 'hann', 'hamming', 'blackman-harris', 'flat-top'] as const) {
    let last = 0.5;
    for (let over = 1; over <= 80; over += 3) {
      const reach = reachInChannels(response, over);
      expect(reach).toBeGreaterThanOrEqual(last);
      last = reach;
      // slow twin: nothing beyond the reach exceeds (looked at every hundredth of a channel)
      let beyond = -Infinity;
      for (let d = reach + 0.01; d < 20; d += 0.0337) beyond = Math.max(beyond, windowResponseDb(response, d));
      expect(beyond, `${response} ${over} dB`).toBeLessThanOrEqual(-over + 0.05);
    }
  }
  // side lobes of the rectangular window fall as 1/(πd): 40 dB over reaches 32 channels
  expect(reachInChannels('rectangular', 40)).toBeCloseTo(100 / Math.PI, 0);
  // the first side lobe of Hann stands at −31.47 dB (Harris 1978): 31 dB stay inside the main lobe, 32 do not
  expect(reachInChannels('hann', 31)).toBeLessThan(2);
  expect(reachInChannels('hann', 32)).toBeGreaterThan(2.2);
  expect(reachInChannels('hann', 0)).toBe(0);
  expect(reachInChannels('hann', NaN)).toBe(0);
});

test('without sampling or mixing only the band itself counts', () => {
  expect(imagesOf(handBand()).map(({ isDirect }) => isDirect)).toEqual([true]);
});

test('an oscillator has one image, reversed in order', () => {
  const images = imagesOf(handBand({ lowHz: 10e6, highHz: 11e6, localOscillatorHz: 12e6 }));
  expect(images.map(({ lowHz, highHz, slope }) => [lowHz, highHz, slope])).toEqual([
    [10e6, 11e6, 1],
    [13e6, 14e6, -1],
  ]);
  expect(inBand(images[1]!, 13.2e6)).toBeCloseTo(10.8e6, 3);
});

test('adjacent Nyquist zones fold in reversed order, the ones after keep it', () => {
  const images = imagesOf(handBand({ lowHz: 2e6, highHz: 3e6, sampleRateHz: 10e6 }));
  expect(images.map(({ lowHz, highHz, slope }) => [lowHz, highHz, slope])).toEqual([
    [2e6, 3e6, 1],
    [7e6, 8e6, -1],
    [12e6, 13e6, 1],
    [17e6, 18e6, -1],
  ]);
  expect(inBand(images[1]!, 7.1e6)).toBeCloseTo(2.9e6, 3);
  expect(inBand(images[2]!, 12.1e6)).toBeCloseTo(2.1e6, 3);
});

test('whatever folds or mixes into a band comes out at the frequency that a plain simulation of the receiver gives', () => {
  // slow twin: mix, fold, and look for a band frequency with the same outcome
  const outcome = (hz: number, oscillator: number, rate: number | null) => {
    const mixed = Math.abs(hz - oscillator);
    if (rate === null) return mixed;
    const folded = mixed % rate;
    return Math.min(folded, rate - folded);
  };
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 200 }),
      fc.integer({ min: 1, max: 20 }),
      fc.option(fc.integer({ min: 10, max: 120 })),
      fc.option(fc.integer({ min: 1, max: 250 })),
      fc.integer({ min: 1, max: 400 }),
      (low, width, rate, oscillator, hz) => {
        const band = handBand({ lowHz: low, highHz: low + width, sampleRateHz: rate, localOscillatorHz: oscillator });
        const o = oscillator ?? 0;
        const expected = new Set<number>();
        if (low <= hz && hz <= low + width) expected.add(hz);
        if (rate !== null || oscillator !== null)
          for (let g = low; g <= low + width; g++) if (outcome(g, o, rate) === outcome(hz, o, rate)) expected.add(g);
        const highest = rate === null ? Infinity : Math.max(low + width, o + 2 * rate);
        if (hz > highest) return;
        const found = new Set(
          imagesOf(band)
            .filter(({ lowHz, highHz }) => lowHz <= hz && hz <= highHz)
            .map((image) => inBand(image, hz)),
        );
        expect([...found].sort((a, b) => a - b)).toEqual([...expected].sort((a, b) => a - b));
      },
    ),
    { seed: 6, numRuns: 2000 },
  );
});

test('the zone of a band is known, and a band across an edge has none', () => {
  expect(zoneOf(handBand({ sampleRateHz: 10e6 }))).toBe(1);
  expect(zoneOf(handBand({ sampleRateHz: 4e6 }))).toBe(2);
  expect(zoneOf(handBand({ sampleRateHz: 5e6 }))).toBeNull();
  expect(zoneOf(handBand({ sampleRateHz: null }))).toBeNull();
  expect(zoneOf(handBand({ sampleRateHz: 10e6, localOscillatorHz: 2.5e6 }))).toBeNull();
});
