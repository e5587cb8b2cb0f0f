import type { ByteSource } from '../../model/byte-source.ts';
import { UNKNOWN_SETTINGS } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { InstrumentLine } from '../../model/instrument-line.ts';
import type { Recording } from '../../model/recording.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import type { Trace } from '../../model/trace.ts';
import type { Waterfall } from '../../model/waterfall.ts';
import type { PeriodogramSums } from './averaged-periodogram.ts';
import { effectiveAverages } from './effective-averages.ts';
import { spectrumScale, type SpectrumScale } from './level-scale.ts';
import { imageLines, isAllMirrored, mirrorRanges } from './mirror-lines.ts';
import { isTooShort, planSegments, type SegmentPlan } from './plan-segments.ts';
import { sideLobeLines, sideLobes, type BinRange } from './side-lobes.ts';
import { spectrumPowers } from './spectrum-powers.ts';
import { clippingLevel, partsOf, sumParts, type SumParts } from './sum-parts.ts';
import { gatherRows, type WaterfallRows, type WaterfallSize } from './waterfall-rows.ts';
import { mainLobeBins, windowWeights } from './windows.ts';

export interface RecordSpectrumInput {
  readonly recording: Recording;
  /** The file that holds the samples; null where the recording holds them itself. */
  readonly bytes: ByteSource | null;
  readonly channel: number;
  readonly settings: SpectrumSettings;
  /** Only these parts of the record, in seconds from its start, ascending; no segment reaches from one into the next. Left out: all. */
  readonly gates?: readonly Gate[];
  /** null: no waterfall; none with gates. */
  readonly waterfall: WaterfallSize | null;
  /** The name the user knows the file by. */
  readonly file: string;
  readonly onProgress?: (fraction: number, step: string) => void;
  /** Who sums the periodograms; left out: this thread alone. The result is the same to the last bit. */
  readonly sumParts?: SumParts | undefined;
}

/** A part of a record. */
export interface Gate {
  readonly startS: number;
  readonly endS: number;
}

export interface RecordSpectrum {
  readonly trace: Trace;
  readonly waterfall: Waterfall | null;
  readonly plan: SegmentPlan;
  readonly warnings: readonly string[];
}

/** Fewer averages than this leave a floor that scatters by more than 2 dB. A choice of this tool. */
const FEW_AVERAGES = 8;
/** Time steps that depart further than this from their mean smear lines. A choice of this tool. */
const MOST_UNEVENNESS = 0.01;

/**
 * The spectrum of one channel of a recording, streamed: memory does not grow with its length.
 *
 * Levels are those of lines (a line reads its own power); noise reads its power in the RBW, which is the window's noise bandwidth.
 * `settings.averages` are the effective ones, so that the floor's statistics hold.
 *
 * @throws InputError where the stretch is too short for what is asked, lies outside the record, or holds no usable sample
 */
export function recordSpectrum(input: RecordSpectrumInput): RecordSpectrum {
  const { recording, channel, settings, file } = input;
  const { complex: isComplex, sampleRateHz } = recording;
  const progress = input.onProgress ?? (() => {});
  const stretches = stretchesOf(input);
  const plan = planSegments(Math.max(...stretches.map(({ count }) => count)), sampleRateHz, settings);
  if (isTooShort(plan)) throw new InputError({ file, place: recordName(recording), ...plan });

  const weights = windowWeights(settings.window, plan.windowPoints);
  const gathered =
    input.waterfall === null || input.gates !== undefined
      ? null
      : gatherRows(plan.segments, plan.transformPoints, isComplex, input.waterfall);
  const clipsAt = clippingLevel(recording, channel);
  const parts = partsOf(stretches, plan);
  const work = { recording, channel, window: settings.window, plan, parts, file };
  const taken = parts.flatMap((part) => part.stretches).reduce((sum, { count }) => sum + count, 0);
  let told = 0;
  const onSamples = (samples: number): void => progress((told += samples) / (1.01 * taken), 'spectrum');
  progress(0, 'spectrum');
  // rows over time are gathered in the order of time, so by one
  const { sums, clipped } =
    gathered === null
      ? (input.sumParts ?? sumParts)(work, input.bytes, onSamples)
      : sumParts(work, input.bytes, onSamples, gathered.onSegments);
  if (sums.segments === 0) throw noNumbers(file, recording);
  let [used, averages] = [0, 0];
  for (const { count } of stretches) {
    const segments = Math.floor((count - plan.windowPoints) / plan.stepPoints) + 1;
    if (segments < 1) continue;
    averages += effectiveAverages(weights, segments, plan.stepPoints);
    used += plan.windowPoints + (segments - 1) * plan.stepPoints;
  }
  // what fell out is taken as if it had stood at the ends
  averages *= sums.segments / (sums.segments + sums.brokenSegments);
  const scale = scaleOf(recording, channel, settings);
  const centreHz = settings.centreHz ?? recording.centreHz;
  const originHz = isComplex ? (centreHz ?? 0) : 0;
  const { frequencyHz, meanSquare } = spectrumPowers(sums, weights, sampleRateHz, isComplex);
  for (let i = 0; i < frequencyHz.length; i++) frequencyHz[i]! += originHz;
  const level = meanSquare.map((power) => decibelsOf(power, scale));

  const lobes = sideLobes({ meanSquare, plan, averages, isCircular: isComplex });
  const instrument = [
    ...(isComplex ? ownLines(sums, averages, plan, settings, originHz) : []),
    ...sideLobeLines(lobes, frequencyHz, plan.spacingHz),
  ];
  const trace: Trace = {
    label: labelOf(recording, channel),
    frequencyHz,
    level,
    unit: scale.unit,
    settings: {
      ...UNKNOWN_SETTINGS,
      rbwHz: plan.rbwHz,
      rbwShape: 'noise',
      computedLine: plan.line,
      averages: Number(averages.toFixed(2)),
      averaging: 'power',
      detector: 'rms',
      sweepTimeS: used / sampleRateHz,
      takenAt: recording.takenAt,
      clippedSamples: clipsAt === null ? null : clipped,
      gainDb: recording.gainDb ?? null,
      attenuationDb: recording.attenuationDb ?? null,
      ...(isComplex && centreHz !== null ? { centreHz } : {}),
    },
    ...(instrument.length === 0 ? {} : { instrument }),
    ...(isComplex && centreHz === null ? { axis: 'offset' as const } : {}),
  };
  const warnings = [
    ...aboutRecord(recording, centreHz, clipped, sums.brokenSegments),
    ...aboutAverages(averages),
    ...aboutSideLobes(lobes, frequencyHz.length),
    ...(isAllMirrored(sums, averages)
      ? [
          'The spectrum is its own mirror image about the centre: one of the two channels carries nothing of its own, so every line may be at either side.',
        ]
      : []),
  ];
  progress(1, 'done');
  const waterfall =
    gathered === null ? null : waterfallOf(gathered.rows(), { plan, weights, scale, recording, originHz });
  return { trace, waterfall, plan, warnings };
}

function stretchOf(recording: Recording, { fromS, toS }: SpectrumSettings, file: string) {
  const from = Math.round(fromS * recording.sampleRateHz);
  const to = toS === null ? recording.sampleCount : Math.round(toS * recording.sampleRateHz);
  if (from < to && from >= 0 && to <= recording.sampleCount) return { from, count: to - from };
  throw new InputError({
    file,
    place: recordName(recording),
    found: `the stretch from ${fromS} s to ${toS ?? 'the end'}`,
    expected: `a stretch within 0 … ${recording.sampleCount / recording.sampleRateHz} s`,
    wayOut: 'Choose a stretch that lies within the record.',
  });
}

/** The gates in samples, or the one stretch that the settings name. Gates shorter than half a window's reach give nothing by themselves. */
function stretchesOf({ recording, settings, gates, file }: RecordSpectrumInput): { from: number; count: number }[] {
  if (gates === undefined) return [stretchOf(recording, settings, file)];
  if (gates.length === 0)
    throw new InputError({
      file,
      place: recordName(recording),
      found: 'no part of the record',
      expected: 'at least one',
      wayOut: 'Choose another threshold, or the whole record.',
    });
  return gates.map(({ startS, endS }) => stretchOf(recording, { ...settings, fromS: startS, toS: endS }, file));
}

function scaleOf(recording: Recording, channel: number, settings: SpectrumSettings): SpectrumScale {
  const { unit } = recording.channels[channel]!;
  if (settings.voltsPerUnit === null) return spectrumScale(unit, settings.impedanceOhm);
  const volts = spectrumScale('V', settings.impedanceOhm);
  return { ...volts, zeroDb: volts.zeroDb + 20 * Math.log10(settings.voltsPerUnit) };
}

function decibelsOf(meanSquare: number, { zeroDb }: SpectrumScale): number {
  return meanSquare > 0 ? 10 * Math.log10(meanSquare) + zeroDb : -Infinity;
}

/** The offset at the centre and the images: what an I/Q receiver adds of its own. */
function ownLines(
  sums: PeriodogramSums,
  averages: number,
  plan: SegmentPlan,
  { window }: SpectrumSettings,
  originHz: number,
): readonly InstrumentLine[] {
  const n = plan.transformPoints;
  const hzOf = (bin: number): number => originHz + (bin < n / 2 ? bin : bin - n) * plan.spacingHz;
  const reachHz = (mainLobeBins(window) * plan.rbwHz) / plan.enbwBins;
  const centre: InstrumentLine = {
    kind: 'dc',
    lowHz: originHz - reachHz,
    highHz: originHz + reachHz,
    why: 'Stands at the centre of the receiver, where the offset of its own converters shows: no source of the build can be told there.',
  };
  return [centre, ...imageLines(mirrorRanges(sums, averages), n, hzOf, plan.spacingHz)];
}

function labelOf(recording: Recording, channel: number): string {
  const { name } = recording.channels[channel]!;
  return [recording.label, name].filter((part) => part !== '').join(', ');
}

function recordName({ label }: Recording): string {
  return label === '' ? 'recording' : `recording ${label}`;
}

function aboutRecord(recording: Recording, centreHz: number | null, clipped: number, broken: number): string[] {
  const { unevenness } = recording;
  const warnings: string[] = [];
  if (recording.complex && centreHz === null)
    warnings.push(
      'The centre frequency of this I/Q record is not stated: no source is named. State the centre to have them named.',
    );
  if (clipped > 0)
    warnings.push(
      `${clipped} samples stand at the converter’s full scale: it was overdriven, and lines of its own making may be among the spurs.`,
    );
  if (broken > 0) warnings.push(`${broken} segments hold a sample that is no number and were left out.`);
  if (unevenness !== null && unevenness > MOST_UNEVENNESS)
    warnings.push(
      `Time steps depart from their mean by up to ${(100 * unevenness).toPrecision(2)} %: they were taken as even, which smears lines.`,
    );
  return warnings;
}

function aboutAverages(averages: number): string[] {
  if (averages >= FEW_AVERAGES) return [];
  return [
    `The record gives only ${Number(averages.toPrecision(2))} averages at this RBW: weak lines hide in the scatter of the floor. A wider RBW or a longer record gives more.`,
  ];
}

function aboutSideLobes(lobes: readonly BinRange[], bins: number): string[] {
  const covered = lobes.reduce((sum, { first, last }) => sum + last - first + 1, 0);
  if (covered === 0) return [];
  return [
    `Side lobes of this window stand over the noise beside strong lines in ${Number(((100 * covered) / bins).toPrecision(2))} % of the span: weaker lines hide there. Blackman-Harris has the lowest.`,
  ];
}

function noNumbers(file: string, recording: Recording): InputError {
  return new InputError({
    file,
    place: recordName(recording),
    found: 'a sample that is no number in every segment',
    expected: 'at least one segment of numbers',
    wayOut: 'Choose a stretch without gaps, or a wider RBW so that segments are shorter.',
  });
}

interface WaterfallFrame {
  readonly plan: SegmentPlan;
  readonly weights: Float64Array;
  readonly scale: SpectrumScale;
  readonly recording: Recording;
  readonly originHz: number;
}

function waterfallOf(rows: WaterfallRows, { plan, weights, scale, recording, originHz }: WaterfallFrame): Waterfall {
  const { complex: isComplex, sampleRateHz, label, takenAt } = recording;
  let sum = 0;
  for (const w of weights) sum += w;
  const factor = (isComplex ? 0.5 : 2) / (sum * sum);
  const firstHz = isComplex ? originHz - sampleRateHz / 2 : 0;
  const middleBin = (rows.binsPerColumn - 1) / 2;
  return {
    label,
    frequencyHz: Float64Array.from(
      { length: rows.columns },
      (_, c) => firstHz + (c * rows.binsPerColumn + middleBin) * plan.spacingHz,
    ),
    rows: rows.rows,
    level: rows.power.map((power) => decibelsOf(power * factor, scale)),
    unit: scale.unit,
    rowStartS: rows.firstSegment.map((segment) => (segment * plan.stepPoints) / sampleRateHz),
    takenAt,
  };
}
