import { FROM_MEMORY, type LimitLine } from '../../../model/limit-line.ts';
import { BOLTZMANN_J_PER_K } from '../../../units/conversions.ts';

/** Assumptions of one row: centre, bandwidth, antenna and receiver noise temperature. */
export interface ObservedBand {
  readonly frequencyHz: number;
  readonly bandwidthHz: number;
  readonly antennaK: number;
  readonly receiverK: number;
}

/** Continuum rows of ITU-R RA.769-2, table 1; inputs from memory, two rows confirmed by a published explanation. */
export const CONTINUUM_ROWS: readonly ObservedBand[] = (
  [
    [13.385, 0.05, 50_000, 60],
    [25.61, 0.12, 15_000, 60],
    [73.8, 1.6, 750, 60],
    [151.525, 2.95, 150, 60],
    [325.3, 6.6, 40, 60],
    [408.05, 3.9, 25, 60],
    [611, 6, 20, 60],
    [1413.5, 27, 12, 10],
    [1665, 10, 12, 10],
    [2695, 10, 12, 10],
    [4995, 10, 12, 10],
  ] as const
).map(([mhz, widthMhz, antennaK, receiverK]) => ({
  frequencyHz: mhz * 1e6,
  bandwidthHz: widthMhz * 1e6,
  antennaK,
  receiverK,
}));

/**
 * Interference that raises the reading of an averaged noise power by a tenth of its fluctuation (ITU-R RA.769-2):
 * ΔT = (T_A + T_R)/√(Δf·t); ΔP = k·ΔT; ΔP_H = 0.1·ΔP·Δf.
 *
 * @param integrationS 2000 s in the recommendation; the power scales by 5·log10(2000/t) dB
 * @returns temperature in kelvin; density in dB(W/Hz) of the fluctuation; interfering power in dBW; power flux density of it
 *   through an isotropic side lobe in dB(W/m²), S = P + 20·log10(f/Hz) − 158.54, and per hertz
 */
export function harmfulInterference(
  { frequencyHz, bandwidthHz, antennaK, receiverK }: ObservedBand,
  integrationS = 2000,
) {
  const fluctuationK = (antennaK + receiverK) / Math.sqrt(bandwidthHz * integrationS);
  const densityDbWPerHz = 10 * Math.log10(BOLTZMANN_J_PER_K * fluctuationK);
  const powerDbW = densityDbWPerHz - 10 + 10 * Math.log10(bandwidthHz);
  // effective area of an isotropic antenna, c²/(4π f²)
  const areaDb = 10 * Math.log10(299_792_458 ** 2 / (4 * Math.PI)) - 20 * Math.log10(frequencyHz);
  const fluxDbWPerM2 = powerDbW - areaDb;
  return {
    fluctuationK,
    densityDbWPerHz,
    powerDbW,
    fluxDbWPerM2,
    spectralFluxDbWPerM2Hz: fluxDbWPerM2 - 10 * Math.log10(bandwidthHz),
  };
}

/** Threshold of harmful interference as power at the receiver's input, in each row's band. */
export const RADIO_ASTRONOMY: LimitLine = {
  name: 'ITU-R RA.769 continuum, power at the input',
  unit: 'dBW',
  stretches: CONTINUUM_ROWS.map((row) => {
    const level = harmfulInterference(row).powerDbW;
    return {
      lowHz: row.frequencyHz - row.bandwidthHz / 2,
      highHz: row.frequencyHz + row.bandwidthHz / 2,
      lowLevel: level,
      highLevel: level,
    };
  }),
  detector: 'average',
  // The power in the whole observed band counts; a single line has the same power in any bandwidth.
  bandwidths: [],
  distanceM: null,
  document: 'ITU-R RA.769-2, table 1: 2000 s, 0 dBi side lobe, power at the input in the row’s bandwidth',
  isConfirmed: false,
  origin: `computed from the recommendation’s method; temperatures and bandwidths ${FROM_MEMORY}`,
};
