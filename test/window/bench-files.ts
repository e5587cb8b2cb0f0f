/**
 * Captures as an engineer would bring them to the bench, made with a seed: power averages of chi-square noise and the lines of
 * switching sources with a known truth. Shares no code with the engine.
 */
const START_HZ = 1e6;
const STEP_HZ = 1500;
const POINTS = 12_000;
const RBW_HZ = 3000;
const AVERAGES = 32;

export interface Family {
  readonly fundamentalHz: number;
  /** Level of the first harmonic in dBm; each further one falls by 20 dB a decade. */
  readonly levelDbm: number;
}

export interface CaptureFile {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}

function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
}

/** Mean of AVERAGES exponential powers: what a power average of noise is. */
function noisePower(random: () => number): number {
  let sum = 0;
  for (let i = 0; i < AVERAGES; i++) sum -= Math.log(random());
  return sum / AVERAGES;
}

export function captureFile(name: string, seed: number, families: readonly Family[], floorDbm = -108): CaptureFile {
  const random = generator(seed);
  const power = Float64Array.from({ length: POINTS }, () => 10 ** (floorDbm / 10) * noisePower(random));
  for (const { fundamentalHz, levelDbm } of families) {
    for (let n = 1; n * fundamentalHz < START_HZ + STEP_HZ * POINTS; n++) {
      const hz = n * fundamentalHz;
      const line = 10 ** ((levelDbm - 20 * Math.log10(n)) / 10);
      for (
        let i = Math.max(0, Math.ceil((hz - 12_000 - START_HZ) / STEP_HZ));
        i < POINTS && START_HZ + i * STEP_HZ < hz + 12_000;
        i++
      ) {
        // A resolution filter of Gaussian shape, RBW_HZ wide between its 3 dB points.
        const away = (START_HZ + i * STEP_HZ - hz) / RBW_HZ;
        power[i]! += line * 2 ** -((2 * away) ** 2);
      }
    }
  }
  const rows = Array.from(power, (p, i) => `${START_HZ + i * STEP_HZ},${(10 * Math.log10(p)).toFixed(3)}`);
  const head = [
    'RBW (Hz),3000',
    `Averages,${AVERAGES}`,
    'Averaging,power',
    'Detector,RMS',
    '',
    'Frequency (Hz),Level (dBm)',
  ];
  return { name, mimeType: 'text/csv', buffer: Buffer.from([...head, ...rows].join('\n')) };
}

export const MAIN: Family = { fundamentalHz: 412_337.1, levelDbm: -52 };
export const DIGITAL: Family = { fundamentalHz: 597_112.9, levelDbm: -58 };
export const STRANGER: Family = { fundamentalHz: 733_412.3, levelDbm: -62 };

export const SOURCES_CSV: CaptureFile = {
  name: 'sources.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from(
    'designator,kind,nominal_hz,tolerance_ppm,owner\nU7,converter,410000,30000,ours\nU9,converter,600000,30000,ours\n',
  ),
};

export const BROKEN: CaptureFile = {
  name: 'minutes.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from('Minutes of the bench meeting\nnothing of this is a table\n'),
};
