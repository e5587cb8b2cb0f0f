import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { Recording } from '../../model/recording.ts';

export interface TimeChannel {
  readonly name: string;
  readonly unit: string;
  readonly values: Float64Array;
}

export interface TimeTable {
  /** One time a row, in seconds, or null where a rate says it. */
  readonly timeS: Float64Array | null;
  readonly rateHz: number | null;
  readonly channels: readonly TimeChannel[];
  readonly takenAt: string | null;
  readonly stated: readonly { readonly name: string; readonly value: string }[];
}

/** Steps that differ by more than this share of a step are no even sampling: a jitter of 1 % already raises a floor 20 dB above that
 * of 0.1 %. Below, the differences are those of rounded times. Common practice, no source. */
const EVEN = 0.01;
/** Written times are rounded: of few digits the single steps differ, the mean step does not. */
const MOST_ROUNDED = 0.6;

/**
 * A table of samples against time as a recording. The sample rate comes from the times: their number less one over their length, so
 * that rounding of single times does not matter. Gaps in the values (cells without a number) become the value before, and are told of.
 *
 * Steps that are not even are told of and kept in `unevenness`: a spectrum that assumes even steps then smears lines.
 *
 * @throws InputError for times that do not rise, no channel, or fewer than two rows
 */
export function timeRecord(
  table: TimeTable,
  file: string,
  layout: string,
  before: readonly string[] = [],
): ReadCapture {
  const warnings = [...before];
  const { timeS } = table;
  const rows = table.channels[0]?.values.length ?? 0;
  const problem = (place: string, found: string, expected: string, wayOut: string): InputError =>
    new InputError({ file, place, found, expected, wayOut });
  if (rows < 2)
    throw problem(
      'the table',
      rows === 0 ? 'no column of samples' : 'one sample',
      'at least two samples of a channel',
      'Save the waveform with its samples.',
    );
  let rateHz = table.rateHz;
  let unevenness: number | null = null;
  if (timeS !== null) {
    const bad = timeS.findIndex((t, i) => !Number.isFinite(t) || (i > 0 && t < timeS[i - 1]!));
    const stepS = (timeS[rows - 1]! - timeS[0]!) / (rows - 1);
    if (bad >= 0 || !(stepS > 0))
      throw problem(
        `row ${Math.max(bad, 0) + 1} of the table`,
        bad < 0 ? 'times that stand still' : `${timeS[bad]!} s after ${timeS[bad - 1] ?? 'nothing'} s`,
        'times that rise throughout',
        'Check that this is the time column; save each record in a file of its own.',
      );
    unevenness = 0;
    for (let i = 1; i < rows; i++)
      unevenness = Math.max(unevenness, Math.abs(timeS[i]! - timeS[i - 1]! - stepS) / stepS);
    const rounded = roundingShare(timeS, stepS);
    if (unevenness > Math.max(EVEN, Math.min(MOST_ROUNDED, rounded)))
      warnings.push(
        `The time steps differ by up to ${(100 * unevenness).toFixed(unevenness < 0.1 ? 1 : 0)} % of a step: not evenly sampled. Spectra assume even steps, so their lines are smeared and their frequencies a mean.`,
      );
    if (rateHz !== null && Math.abs(rateHz * stepS - 1) > 0.01)
      warnings.push(`The file states ${rateHz} samples a second, its times say ${1 / stepS}; the times are used.`);
    rateHz = Number((1 / stepS).toPrecision(12));
  }
  if (rateHz === null || !(rateHz > 0) || !Number.isFinite(rateHz))
    throw problem(
      'the whole file',
      'samples without times',
      'a time column, a time step or a sample rate',
      'State the sample rate when opening the file.',
    );
  let gaps = 0;
  const channels = table.channels.map(({ values }) => {
    const filled = Float64Array.from(values);
    let last = filled.find((value) => Number.isFinite(value)) ?? 0;
    for (let i = 0; i < filled.length; i++)
      if (Number.isFinite(filled[i]!)) last = filled[i]!;
      else {
        filled[i] = last;
        gaps++;
      }
    return { real: filled, imaginary: null };
  });
  if (gaps === rows * channels.length)
    throw problem('the table', 'no number in any sample', 'samples', 'Save the waveform with its samples.');
  if (gaps > 0) warnings.push(`${gaps} sample(s) have no value; the one before was put in their place.`);
  const recording: Recording = {
    label: '',
    complex: false,
    channels: table.channels.map(({ name, unit }) => ({ name, ...plainUnit(unit), offset: 0, fullScale: null })),
    samples: { kind: 'held', channels },
    sampleCount: rows,
    sampleRateHz: rateHz,
    centreHz: null,
    unevenness,
    takenAt: table.takenAt,
    annotations: [],
    stated: table.stated,
  };
  return { layout, traces: [], recordings: [recording], warnings: [...new Set(warnings)] };
}

const PREFIXES: Readonly<Record<string, number>> = { p: 1e-12, n: 1e-9, µ: 1e-6, m: 1e-3, k: 1e3 };

/** Volts, amperes and watts without their prefix, which becomes the scale: 20 mV are 0.02 V. */
function plainUnit(unit: string): { unit: string; scale: number } {
  const match = /^([pnµmk])([VAW])$/.exec(unit);
  return match === null ? { unit, scale: 1 } : { unit: match[2]!, scale: PREFIXES[match[1]!]! };
}

/** How much of a step the rounding of written times may move it: the smallest difference between any steps, over the step. */
function roundingShare(timeS: Float64Array, stepS: number): number {
  // a written number is a whole multiple of a power of ten; the largest such power that fits all of the first times
  const looked = Math.min(timeS.length, 2000);
  for (let digits = Math.ceil(-Math.log10(stepS)) - 1; digits < 15; digits++) {
    const unit = 10 ** -digits;
    let fits = true;
    for (let i = 0; i < looked && fits; i++) {
      const multiple = timeS[i]! / unit;
      fits = Math.abs(multiple - Math.round(multiple)) < 1e-4 * Math.max(1, 1e-8 * Math.abs(multiple));
    }
    if (fits) return (1.01 * unit) / stepS;
  }
  return 0;
}
