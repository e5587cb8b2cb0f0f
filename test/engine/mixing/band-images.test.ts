import { describe, expect, it } from 'vitest';
import { bandImages } from '../../../src-main/engine/mixing/band-images.ts';
import { band } from './line-scene.ts';

const sampled = (spanLowHz: number, spanHighHz: number) =>
  bandImages([band('rx', { sampleRateHz: 40e6 })], null, spanLowHz, spanHighHz)[0];

describe('bandImages', () => {
  it.each([
    [21e6, 19e6],
    [39e6, 1e6],
    [41e6, 1e6],
    [59e6, 19e6],
    [61e6, 19e6],
    [80.5e6, 0.5e6],
  ])('folds %d Hz to %d Hz at 40 MHz: |f − k·fs|, adjacent zones in reverse', (hz, axisHz) => {
    expect(sampled(0, 20e6)!.of(hz)).toEqual([axisHz]);
    expect(Math.abs(hz - 40e6 * Math.round(hz / 40e6))).toBe(axisHz);
  });

  it('puts everything into the second zone of a receiver that samples there, upside down', () => {
    const images = sampled(20e6, 40e6)!;
    expect(images.of(1e6)).toEqual([39e6]);
    expect(images.of(41e6)).toEqual([39e6]);
    expect(images.of(61e6)).toEqual([21e6]);
    // what stands in the zone is where it is
    expect(images.of(31e6)).toEqual([]);
  });

  it('finds behind a place all that is folded to it, and nothing else', () => {
    const images = sampled(0, 20e6)!;
    expect(images.behind(3e6, 130e6)).toEqual([37e6, 43e6, 77e6, 83e6, 117e6, 123e6]);
    for (const hz of images.behind(7.3e6, 500e6)) expect(images.of(hz)[0]).toBeCloseTo(7.3e6, 3);
  });

  it('mixes with a local oscillator to difference and sum, and then samples', () => {
    const mixed = bandImages(
      [band('if', { lowHz: 100e6, highHz: 110e6, localOscillatorHz: 95e6 })],
      null,
      5e6,
      15e6,
    )[0]!;
    expect(mixed.of(102e6)).toEqual([7e6, 197e6]);
    expect([...mixed.behind(7e6, 300e6)].sort((a, b) => a - b)).toEqual([88e6, 102e6]);
    const both = bandImages([band('if', { localOscillatorHz: 95e6, sampleRateHz: 20e6 })], null, 0, 10e6)[0]!;
    expect(both.of(108e6)).toEqual([7e6, 3e6]);
    expect(both.howOf(108e6, 7e6)).toBe(
      'mixed to 13.0000 MHz by the oscillator at 95.0000 MHz and folded by the sampling at 20.0000 MHz',
    );
  });

  it('counts a band only where the span fits it, or the conditions name it; never for another instrument', () => {
    expect(sampled(1e6, 25e6)).toBeUndefined();
    expect(bandImages([band('rx', {})], null, 0, 20e6)).toEqual([]);
    const rx = [band('rx', { sampleRateHz: 40e6 })];
    const of = (condition: object) => bandImages(rx, condition as never, 1e6, 25e6);
    expect(of({ point: 'RX', instrument: null })[0]!.stated).toBe(true);
    expect(of({ point: null, instrument: 'analyser' })).toEqual([]);
    expect(bandImages(rx, { point: null, instrument: 'analyser' } as never, 0, 20e6)).toEqual([]);
    expect(sampled(0, 20.1e6)!.stated).toBe(false);
  });
});
