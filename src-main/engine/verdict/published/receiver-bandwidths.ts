import type { DemandedBandwidth } from '../../../model/limit-line.ts';

/**
 * Bandwidths of the measuring receiver of CISPR 16-1-1, bands A to E, between −6 dB points. Read in an instrument's manual and in a
 * public test that quotes EN 55016-1-1. (Band E states an impulse bandwidth; it is taken as a 6 dB one here.)
 */
export const CISPR_BANDWIDTHS: readonly DemandedBandwidth[] = [
  { lowHz: 9e3, highHz: 150e3, bandwidthHz: 200, shape: '6 dB' },
  { lowHz: 150e3, highHz: 30e6, bandwidthHz: 9e3, shape: '6 dB' },
  { lowHz: 30e6, highHz: 1e9, bandwidthHz: 120e3, shape: '6 dB' },
  { lowHz: 1e9, highHz: 18e9, bandwidthHz: 1e6, shape: '6 dB' },
];

/** Bandwidths of MIL-STD-461G, Table II, between −6 dB points. From memory: check against your edition. */
export const MIL_BANDWIDTHS: readonly DemandedBandwidth[] = [
  { lowHz: 30, highHz: 1e3, bandwidthHz: 10, shape: '6 dB' },
  { lowHz: 1e3, highHz: 10e3, bandwidthHz: 100, shape: '6 dB' },
  { lowHz: 10e3, highHz: 150e3, bandwidthHz: 1e3, shape: '6 dB' },
  { lowHz: 150e3, highHz: 30e6, bandwidthHz: 10e3, shape: '6 dB' },
  { lowHz: 30e6, highHz: 1e9, bandwidthHz: 100e3, shape: '6 dB' },
  { lowHz: 1e9, highHz: 18e9, bandwidthHz: 1e6, shape: '6 dB' },
];
