import { applyCondition } from '../../model/apply-condition.ts';
import type { CaptureSettings } from '../../model/capture.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { conversionDb, placeOfUnit, type LevelScalePlace } from './level-scale.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** One trace of a side, with what the comparison needs of it. Levels stay in the trace's own unit; add `offsetDb` for the common one. */
export interface SideTrace {
  readonly triaged: TriagedTrace;
  readonly taken: CaptureSettings;
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly meanDb: Float64Array;
  readonly offsetDb: number;
  /** 3 dB bandwidth, stated or estimated; at least what the engine can tell. */
  readonly rbwHz: number;
  readonly rbwStated: boolean;
  /** Noise bandwidth of the filter. */
  readonly noiseBandwidthHz: number;
  /** Typical spacing of points. */
  readonly spacingHz: number;
}

export interface CommonUnit {
  readonly name: string;
  /** False where levels of the two sides cannot be compared. */
  readonly comparable: boolean;
}

/**
 * Noise bandwidth of a synchronously tuned (near-Gaussian) filter over its 3 dB bandwidth: √(π/ln 2)/2 = 1.0645. Published:
 * analysers are 1.05 to 1.13 (a vendor’s application note 150 on spectrum analysis, pages 66–68).
 */
const NOISE_OVER_3_DB = Math.sqrt(Math.PI / Math.LN2) / 2;
/** 6 dB over 3 dB bandwidth of a Gaussian filter: √2. */
const SIX_OVER_3_DB = Math.SQRT2;

/** The traces of both sides on one level scale: that of the first before trace. Warnings say every conversion and refusal. */
export function commonScale(
  before: readonly TriagedTrace[],
  after: readonly TriagedTrace[],
): { before: SideTrace[]; after: SideTrace[]; unit: CommonUnit; warnings: string[] } {
  const warnings: string[] = [];
  const all = [...before, ...after];
  const taken = all.map((entry) => applyCondition(entry.trace.settings, entry.condition));
  const bandwidths = all.map((entry, i) => bandwidthOf(entry, taken[i]!));
  const places = all.map(unitOf);

  let comparable = true;
  const refuse = (message: string) => {
    comparable = false;
    warnings.push(message);
  };
  const reference = places[0]!;
  const offsets = all.map(() => 0);
  const unstated = all.filter((_, i) => places[i] === null).map((entry) => entry.file);
  if (reference === null || unstated.length > 0) {
    refuse(
      `no unit is stated for ${listed(unstated)}: levels are not compared, so nothing is called cleared, weaker or stronger; state the unit in the condition table`,
    );
  } else {
    places.forEach((place, i) => {
      const conversion = conversionDb(place!, reference);
      if (conversion === null) {
        if (comparable)
          refuse(`${place!.name} of ${all[i]!.file} cannot be converted to ${reference.name}: levels are not compared`);
        return;
      }
      offsets[i] = conversion.offsetDb;
      if (conversion.offsetDb !== 0) {
        warnings.push(
          `${all[i]!.file}: ${place!.name} converted to ${reference.name} by ${conversion.offsetDb.toFixed(2)} dB` +
            (conversion.in50Ohm ? ', taken in 50 Ω' : ''),
        );
      }
    });
  }
  let name = reference?.name ?? 'unknown';
  if (comparable) {
    const densities = all.filter((entry) => entry.trace.unit.perHz).length;
    const widths = bandwidths.map((entry) => entry.noiseBandwidthHz);
    const sameWidth = widths.every((width) => Math.abs(width / widths[0]! - 1) < 0.01);
    if (densities === all.length && sameWidth) {
      name += '/Hz';
      warnings.push('levels are densities: a line is compared as it stands in the same bandwidth on both sides');
    } else if (densities > 0) {
      if (all.every((entry, i) => !entry.trace.unit.perHz || bandwidths[i]!.stated)) {
        all.forEach((entry, i) => {
          if (entry.trace.unit.perHz) offsets[i]! += 10 * Math.log10(widths[i]!);
        });
        warnings.push(
          'densities were turned into powers in the noise bandwidth of their filter, so that lines compare',
        );
      } else {
        refuse(
          'levels are densities and no bandwidth is stated: the power of a line is not known, levels are not compared',
        );
      }
    }
  }
  const sides = all.map((entry, i) =>
    sideTrace(entry, taken[i]!, comparable ? offsets[i]! : 0, bandwidths[i]!.rbwHz, bandwidths[i]!),
  );
  return {
    before: sides.slice(0, before.length),
    after: sides.slice(before.length),
    unit: { name: comparable ? name : 'unknown', comparable },
    warnings,
  };
}

function unitOf(entry: TriagedTrace): LevelScalePlace | null {
  const stated = entry.condition?.unit ?? null;
  return placeOfUnit(stated === null ? entry.trace.unit : { ...entry.trace.unit, name: stated });
}

function sideTrace(
  triaged: TriagedTrace,
  taken: CaptureSettings,
  offsetDb: number,
  rbwHz: number,
  { stated, noiseBandwidthHz }: { stated: boolean; noiseBandwidthHz: number },
): SideTrace {
  const { trace, levelDb, triage } = triaged;
  return {
    triaged,
    taken,
    frequencyHz: trace.frequencyHz,
    levelDb,
    meanDb: triage.floor.meanDb,
    offsetDb,
    rbwHz,
    rbwStated: stated,
    noiseBandwidthHz,
    spacingHz: typicalSpacing(trace.frequencyHz),
  };
}

/** The filter's 3 dB and noise bandwidth: stated; else the middle width of the lines found; else the spacing of points. */
function bandwidthOf(entry: TriagedTrace, taken: CaptureSettings) {
  const spacingHz = typicalSpacing(entry.trace.frequencyHz);
  if (taken.rbwHz !== null) {
    const shape = taken.rbwShape ?? '3 dB';
    const rbwHz =
      shape === '6 dB' ? taken.rbwHz / SIX_OVER_3_DB : shape === 'noise' ? taken.rbwHz / NOISE_OVER_3_DB : taken.rbwHz;
    return { rbwHz, noiseBandwidthHz: rbwHz * NOISE_OVER_3_DB, stated: true };
  }
  const widths = entry.triage.spurs
    .filter((spur) => spur.shape === 'line')
    .map((spur) => spur.widthHz)
    .sort((a, b) => a - b);
  const rbwHz = widths.length >= 3 ? Math.max(spacingHz, widths[widths.length >> 1]!) : spacingHz;
  return { rbwHz, noiseBandwidthHz: rbwHz * NOISE_OVER_3_DB, stated: false };
}

function typicalSpacing(frequencyHz: Float64Array): number {
  const n = frequencyHz.length;
  return (frequencyHz[n - 1]! - frequencyHz[0]!) / Math.max(1, n - 1);
}

export function listed(names: readonly string[]): string {
  return names.length <= 3 ? names.join(', ') : `${names.slice(0, 2).join(', ')} and ${names.length - 2} more`;
}

/** Index of the point nearest to a frequency. */
export function nearestIndex(frequencyHz: Float64Array, targetHz: number): number {
  const above = lowerBound(frequencyHz, targetHz);
  if (above === 0) return 0;
  if (above === frequencyHz.length) return above - 1;
  return targetHz - frequencyHz[above - 1]! <= frequencyHz[above]! - targetHz ? above - 1 : above;
}
