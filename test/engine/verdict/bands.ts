import type { Band } from '../../../src-main/model/band.ts';

/** A band from 2 to 3 MHz with channels of 20 kHz and 10 dB over the floor allowed, but for what is said. */
export function handBand(more: Partial<Band> = {}): Band {
  return {
    name: 'low',
    lowHz: 2e6,
    highHz: 3e6,
    channelHz: 20e3,
    channelOriginHz: null,
    allowedOverFloorDb: 10,
    allowedLevel: null,
    allowedUnit: null,
    weight: 1,
    sampleRateHz: null,
    localOscillatorHz: null,
    ...more,
  };
}
