import type { CaptureSettings } from '../../model/capture.ts';
import type { LimitDetector, LimitLine } from '../../model/limit-line.ts';
import type { NotShownReason } from '../../model/verdict.ts';
import { convertBandwidth } from '../../units/bandwidth.ts';
import { formatDecimal } from '../../units/format.ts';
import { demandedBandwidths } from './limit-at.ts';

/** How a reading stands to the one a limit is stated for: the same, never less, never more, or nobody can say. */
export type ReadsAgainst = 'same' | 'over' | 'under' | 'unknown';

/** What a capture's detector and bandwidth allow to be said. null: it may be said. */
export interface Fit {
  readonly holds: FitProblem | null;
  readonly fallsShort: FitProblem | null;
}

export interface FitProblem {
  readonly reason: Extract<NotShownReason, 'detector does not fit' | 'bandwidth does not fit'>;
  readonly why: string;
}

const FITS: Fit = { holds: null, fallsShort: null };

/**
 * Peak ≥ quasi-peak ≥ average holds for every signal (an unmodulated line reads alike with all): a reading that can only be too high
 * may show that a limit holds, one that can only be too low that it is exceeded. Likewise a wider filter never reads less.
 * A trace that keeps minima fits nothing.
 */
export function fitOf(
  taken: CaptureSettings,
  limit: LimitLine | null,
  lowHz: number,
  highHz: number,
  share: number,
): Fit {
  if (keepsMinima(taken)) {
    const problem: FitProblem = {
      reason: 'detector does not fit',
      why: 'the capture was taken keeping minima, which hide lines',
    };
    return { holds: problem, fallsShort: null };
  }
  if (limit === null) return FITS;
  const detector = limit.detector === null ? 'same' : detectorAgainst(taken, limit.detector);
  const ofDetector = allowedBy(
    detector,
    'detector does not fit',
    detectorWhy(taken, limit.detector ?? 'peak', detector),
  );
  const ofBandwidth = bandwidthFit(taken, limit, lowHz, highHz, share);
  return {
    holds: ofDetector.holds ?? ofBandwidth.holds,
    fallsShort: ofDetector.fallsShort ?? ofBandwidth.fallsShort,
  };
}

export function keepsMinima({ averaging, detector }: CaptureSettings): boolean {
  return averaging === 'min-hold' || detector === 'negative-peak';
}

function allowedBy(reads: ReadsAgainst, reason: FitProblem['reason'], why: string): Fit {
  const problem = { reason, why };
  return {
    holds: reads === 'under' || reads === 'unknown' ? problem : null,
    fallsShort: reads === 'over' || reads === 'unknown' ? problem : null,
  };
}

/** How a capture's detector and averaging read against the demanded detector. */
export function detectorAgainst(
  { detector, averaging, averages }: CaptureSettings,
  demanded: LimitDetector,
): ReadsAgainst {
  const isAveraged = (averaging === 'power' || averaging === 'log' || averaging === 'voltage') && averages !== 1;
  const isHeld = averaging === 'max-hold';
  const kind: 'average' | 'quasi-peak' | 'peak' | 'between' | 'unknown' =
    detector === 'unknown'
      ? 'unknown'
      : detector === 'positive-peak'
        ? isAveraged
          ? 'between'
          : 'peak'
        : detector === 'quasi-peak'
          ? isAveraged
            ? 'between'
            : 'quasi-peak'
          : detector === 'normal' || isHeld
            ? 'between'
            : 'average';
  if (kind === 'unknown') return 'unknown';
  // between: never below the average, never above the peak, nothing known against quasi-peak
  if (kind === 'between') return demanded === 'average' ? 'over' : demanded === 'peak' ? 'under' : 'unknown';
  const rank = { average: 0, 'quasi-peak': 1, peak: 2 };
  const difference = rank[kind] - rank[demanded];
  return difference === 0 ? 'same' : difference > 0 ? 'over' : 'under';
}

function detectorWhy({ detector, averaging }: CaptureSettings, demanded: LimitDetector, reads: ReadsAgainst): string {
  const taken =
    detector === 'unknown' ? 'its detector is not stated' : `it was taken with ${detector}, averaging ${averaging}`;
  const so =
    reads === 'over'
      ? 'which may read too high'
      : reads === 'under'
        ? 'which may read too low'
        : 'which does not compare';
  return `the limit is stated for ${demanded} and ${taken}${detector === 'unknown' ? '' : `, ${so}`}`;
}

function bandwidthFit(taken: CaptureSettings, limit: LimitLine, lowHz: number, highHz: number, share: number): Fit {
  let fit = FITS;
  const ranges = limit.bandwidths.filter((range) => Math.min(range.highHz, highHz) > Math.max(range.lowHz, lowHz));
  const demanded = ranges.length > 0 ? ranges : demandedBandwidths(limit, lowHz);
  for (const { bandwidthHz, shape } of demanded) {
    const wanted = convertBandwidth(bandwidthHz, shape, '6 dB');
    const own = taken.rbwHz === null ? null : convertBandwidth(taken.rbwHz, taken.rbwShape ?? '3 dB', '6 dB');
    const reads: ReadsAgainst =
      own === null ? 'unknown' : Math.abs(own / wanted - 1) <= share ? 'same' : own > wanted ? 'over' : 'under';
    const said = own === null ? 'its RBW is not stated' : `it was taken with ${hertz(own)}`;
    const why = `the limit demands ${hertz(wanted)} between 6 dB points and ${said}`;
    const here = allowedBy(reads, 'bandwidth does not fit', why);
    fit = { holds: fit.holds ?? here.holds, fallsShort: fit.fallsShort ?? here.fallsShort };
  }
  return fit;
}

function hertz(value: number): string {
  return value >= 1e3
    ? `${formatDecimal(Number((value / 1e3).toPrecision(3)), value < 1e5 ? 1 : 0)} kHz`
    : `${formatDecimal(value, 0)} Hz`;
}
