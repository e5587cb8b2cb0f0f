/** How sure the edges are: read in a stored copy of the document, or from memory. */
export type BandConfidence = 'read' | 'memory';

/** A band or a single frequency that benches meet. A line in it may come from there; that is a hint and never proof. */
export interface KnownBand {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
  /** Stations sit on whole multiples of this; null: no raster. */
  readonly rasterHz: number | null;
  readonly confidence: BandConfidence;
}

const band = (
  name: string,
  lowHz: number,
  highHz: number,
  confidence: BandConfidence,
  rasterHz: number | null = null,
): KnownBand => ({ name, lowHz, highHz, rasterHz, confidence });

/** A single frequency with the accuracy that such things keep. */
const near = (name: string, frequencyHz: number, ppm: number, confidence: BandConfidence): KnownBand =>
  band(name, frequencyHz * (1 - ppm * 1e-6), frequencyHz * (1 + ppm * 1e-6), confidence);

/**
 * Industrial bands: 47 CFR 18.301 (two stored copies read). Broadcasting: medium wave 531–1602 kHz in 9 kHz steps and short wave below
 * 7.45 MHz with its 5 kHz steps read in public copies of conference lists; all else from memory: check against your edition. Amateur bands:
 * public lists read. Edges of the 15 and 26 MHz short-wave bands exist in two variants: the wider is taken, since this is a hint.
 */
export const KNOWN_BANDS: readonly KnownBand[] = [
  band('the industrial band at 6.78 MHz', 6.765e6, 6.795e6, 'read'),
  band('the industrial band at 13.56 MHz', 13.553e6, 13.567e6, 'read'),
  band('the industrial band at 27.12 MHz', 26.957e6, 27.283e6, 'read'),
  band('the industrial band at 40.68 MHz', 40.66e6, 40.7e6, 'read'),
  band('the industrial band at 915 MHz', 902e6, 928e6, 'read'),
  band('the industrial band at 2450 MHz', 2400e6, 2500e6, 'read'),
  band('long-wave broadcasting', 148.5e3, 283.5e3, 'memory', 9e3),
  band('medium-wave broadcasting', 526.5e3, 1606.5e3, 'read', 9e3),
  band('medium-wave broadcasting in the Americas', 535e3, 1705e3, 'memory', 10e3),
  ...(
    [
      [2.3e6, 2.495e6, 'read'],
      [3.2e6, 3.4e6, 'read'],
      [3.9e6, 4e6, 'read'],
      [4.75e6, 5.06e6, 'read'],
      [5.9e6, 6.2e6, 'read'],
      [7.2e6, 7.45e6, 'read'],
      [9.4e6, 9.9e6, 'memory'],
      [11.6e6, 12.1e6, 'memory'],
      [13.57e6, 13.87e6, 'memory'],
      [15.1e6, 15.83e6, 'memory'],
      [17.48e6, 17.9e6, 'memory'],
      [18.9e6, 19.02e6, 'memory'],
      [21.45e6, 21.85e6, 'memory'],
      [25.6e6, 26.1e6, 'memory'],
    ] as const
  ).map(([low, high, confidence]) => band('a short-wave broadcasting band', low, high, confidence, 5e3)),
  band('FM broadcasting', 87.5e6, 108e6, 'memory', 100e3),
  band('digital broadcasting and television in band III', 174e6, 230e6, 'memory'),
  ...(
    [
      [135.7e3, 137.8e3],
      [472e3, 479e3],
      [1.8e6, 2e6],
      [3.5e6, 4e6],
      [7e6, 7.3e6],
      [10.1e6, 10.15e6],
      [14e6, 14.35e6],
      [18.068e6, 18.168e6],
      [21e6, 21.45e6],
      [24.89e6, 24.99e6],
      [28e6, 29.7e6],
      [50e6, 54e6],
      [70e6, 70.5e6],
      [144e6, 148e6],
      [430e6, 440e6],
    ] as const
  ).map(([low, high]) => band('an amateur band', low, high, 'read')),
  band('citizens’ band', 26.965e6, 27.405e6, 'memory'),
  ...[2.5e6, 5e6, 10e6, 15e6].map((hz) => near('a time-signal frequency', hz, 5, 'read')),
  ...[60e3, 77.5e3, 20e6, 25e6].map((hz) => near('a time-signal frequency', hz, 5, 'memory')),
  band('long-range navigation at 100 kHz', 90e3, 110e3, 'read'),
  band('radio beacons', 190e3, 535e3, 'memory'),
  band('aeronautical radio', 108e6, 137e6, 'memory'),
  band('marine radio', 156e6, 162e6, 'memory'),
  band('the space uplink band', 2025e6, 2110e6, 'read'),
  band('the space downlink band', 2200e6, 2290e6, 'read'),
  // bench culprits: crystals within ±100 ppm (common practice, no source)
  ...[25e6, 100e6, 125e6].map((hz) => near('a clock of wired networks', hz, 100, 'memory')),
  ...[12e6, 24e6, 48e6].map((hz) => near('a clock of serial-bus equipment', hz, 100, 'memory')),
  near('the line frequency of a display', 15_625, 500, 'memory'),
  near('the line frequency of a display', 31_470, 500, 'memory'),
];

/** Offsets from a raster within this part of its step are on it. A choice of this tool. */
const ON_RASTER = 0.02;

/**
 * The bands a line lies in, in the order of the list, as words. A raster is mentioned only where the line's own uncertainty could tell
 * it from the space between: three standard deviations within the tolerance of the raster.
 */
export function bandHints(frequencyHz: number, frequencySigmaHz: number): string[] {
  const hints: string[] = [];
  for (const { name, lowHz, highHz, rasterHz, confidence } of KNOWN_BANDS) {
    if (frequencyHz < lowHz - frequencySigmaHz || frequencyHz > highHz + frequencySigmaHz) continue;
    const source = confidence === 'memory' ? ' (band from memory: check against your edition)' : '';
    hints.push(`${name}${rasterWords(frequencyHz, frequencySigmaHz, rasterHz)}${source}`);
  }
  return hints;
}

function rasterWords(frequencyHz: number, sigmaHz: number, rasterHz: number | null): string {
  if (rasterHz === null || 3 * sigmaHz > 0.1 * rasterHz) return '';
  const off = Math.abs(frequencyHz - rasterHz * Math.round(frequencyHz / rasterHz));
  if (off <= Math.max(ON_RASTER * rasterHz, 3 * sigmaHz)) return `, on its ${rasterHz / 1e3} kHz raster`;
  return `, but off its ${rasterHz / 1e3} kHz raster`;
}
