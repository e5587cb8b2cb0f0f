import type { CompareView } from '../../src-main/api/contract.ts';
import type { Cause } from '../../src-main/model/attribution.ts';
import type { Track } from '../../src-main/model/track.ts';
import { STATUS_ORDER } from './fixes.svelte.ts';
import { decimal, levelDoubt, MINUS, signed, THIN_SPACE } from './format.ts';
import type { OwnerLook, SourceNames } from './source-names.ts';
import { tagOf } from './source-names.ts';

export interface TrackRow {
  readonly index: number;
  readonly track: Track;
  readonly cause: Cause;
  readonly owners: readonly OwnerLook[];
  readonly tag: string;
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number;
  /** Figures as printed. A level that was not measured is a limit (≤ proven, ? may be up to) or a word, never a blank. */
  readonly before: string;
  readonly after: string;
  /** Doubt of the line itself, one standard deviation as printed; empty where no level was measured. */
  readonly beforeDoubt: string;
  readonly afterDoubt: string;
  readonly change: string;
  readonly changeDoubt: string;
  /** True where the level changed by more than its doubt (two standard deviations). */
  readonly isSure: boolean;
}

const AFTER: Readonly<Record<string, string>> = {
  cleared: '\u2264',
  weaker: '\u2264',
  hidden: '?',
  uncovered: '\u00b7\u00b7\u00b7',
};

function afterFigure(track: Track, levelDb: number | undefined): string {
  if (levelDb !== undefined) return decimal(levelDb, 1);
  if (track.status === 'uncovered') return AFTER.uncovered!;
  return track.upperLimitDb === null
    ? 'no limit'
    : `${AFTER[track.status] ?? '?'}${THIN_SPACE}${decimal(track.upperLimitDb, 1)}`;
}

function beforeFigure(track: Track, levelDb: number | undefined): string {
  if (levelDb !== undefined) return decimal(levelDb, 1);
  return track.status === 'hidden' ? 'hidden' : track.status === 'uncovered' ? AFTER.uncovered! : 'not seen';
}

/** A drop of which nothing is proven is said so; it is never printed as a figure. */
function changeFigure(track: Track): string {
  if (track.changeDb !== null) return signed(track.changeDb);
  if (track.atLeastDb === null) return '';
  return track.atLeastDb > 0 ? `at least ${MINUS}${decimal(track.atLeastDb, 1)}` : 'none proven';
}

/** Tracks in the order in which they need reading: by status, then by frequency. */
export function trackRows(view: CompareView, names: SourceNames): readonly TrackRow[] {
  const rows = view.tracks.map((track, index): TrackRow => {
    const before = track.beforeSpur === null ? undefined : view.beforeSpurs[track.beforeSpur];
    const after = track.afterSpur === null ? undefined : view.afterSpurs[track.afterSpur];
    const explanation =
      (track.afterSpur === null ? undefined : view.afterExplanations[track.afterSpur]) ??
      (track.beforeSpur === null ? undefined : view.beforeExplanations[track.beforeSpur]);
    const spur = before ?? after;
    const owners = explanation?.candidates.map((candidate) => names.candidate(candidate)) ?? [];
    const isNamed = track.source !== null && track.harmonic !== null;
    const named = isNamed ? `${names.source(track.source).letter}${track.harmonic} ${track.source}` : null;
    return {
      index,
      track,
      cause: isNamed ? 'source' : (explanation?.cause ?? 'unexplained'),
      owners: isNamed ? [names.source(track.source)] : owners,
      tag: named ?? (explanation === undefined ? 'nobody' : tagOf(explanation, names)),
      frequencyHz: spur?.frequencyHz ?? NaN,
      frequencySigmaHz: spur?.frequencySigmaHz ?? NaN,
      before: beforeFigure(track, before?.levelDb),
      after: afterFigure(track, after?.levelDb),
      beforeDoubt: before === undefined ? '' : levelDoubt(before.levelSigmaDb),
      afterDoubt: after === undefined ? '' : levelDoubt(after.levelSigmaDb),
      change: changeFigure(track),
      changeDoubt: track.changeSigmaDb === null ? '' : decimal(track.changeSigmaDb, 1),
      isSure:
        track.changeDb !== null && track.changeSigmaDb !== null && Math.abs(track.changeDb) > 2 * track.changeSigmaDb,
    };
  });
  return rows.toSorted(
    (a, b) =>
      STATUS_ORDER.indexOf(a.track.status) - STATUS_ORDER.indexOf(b.track.status) || a.frequencyHz - b.frequencyHz,
  );
}
