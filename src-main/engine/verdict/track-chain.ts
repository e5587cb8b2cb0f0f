import type { LineExplanation } from '../../model/attribution.ts';
import type { TrackCell } from '../../model/state-track.ts';
import type { Comparison, SideSpur, Track } from '../../model/track.ts';

/** One comparison of an earlier state with a later one. */
export interface StateStep {
  readonly earlier: number;
  readonly later: number;
  readonly comparison: Comparison;
  /** To add to the comparison's levels to have them in the grid's unit; null where they do not convert. */
  readonly offsetDb: number | null;
}

/** A line as one state's captures show it. `key` is the same in every comparison that has this state on a side. */
export interface SeenLine {
  readonly key: number;
  readonly spur: SideSpur;
  readonly explanation: LineExplanation;
}

/** One line through the states, while it is being followed. `cells` by column. */
export interface GrowingTrack {
  readonly cells: Map<number, TrackCell>;
  /** By column the line there. */
  readonly seen: Map<number, SeenLine>;
  source: string | null;
  harmonic: number | null;
}

/** Captures of a side do not change between comparisons, so the first file's own spur names a line. */
export function keyOf({ fileIndex, peakIndex }: SideSpur): number {
  return fileIndex * 2 ** 32 + peakIndex;
}

export function beforeLines({ beforeSpurs, beforeExplanations }: Comparison): SeenLine[] {
  return beforeSpurs.map((spur, i) => ({ key: keyOf(spur), spur, explanation: beforeExplanations[i]! }));
}

export function afterLines({ afterSpurs, afterExplanations }: Comparison): SeenLine[] {
  return afterSpurs.map((spur, i) => ({ key: keyOf(spur), spur, explanation: afterExplanations[i]! }));
}

/** The cell that a comparison's track gives in the later state. */
export function cellOf(
  track: Track,
  line: SeenLine | null,
  againstStateId: number,
  offsetDb: number | null,
  status: Track['status'] = track.status,
): TrackCell {
  const level = (value: number | null | undefined) =>
    value === null || value === undefined || offsetDb === null ? null : value + offsetDb;
  return {
    status,
    againstStateId,
    levelDb: level(line?.spur.levelDb),
    levelSigmaDb: line?.spur.levelSigmaDb ?? null,
    frequencyHz: line?.spur.frequencyHz ?? null,
    upperLimitDb: level(track.upperLimitDb),
    changeDb: track.changeDb,
    changeSigmaDb: track.changeSigmaDb,
    atLeastDb: track.atLeastDb,
    exercised: track.exercised,
    overAllowedDb: null,
    why: track.why,
  };
}

/** The cell of a line where there is nothing to hold it against. */
export function firstCell(line: SeenLine, offsetDb: number | null): TrackCell {
  return {
    status: null,
    againstStateId: null,
    levelDb: offsetDb === null ? null : line.spur.levelDb + offsetDb,
    levelSigmaDb: line.spur.levelSigmaDb,
    frequencyHz: line.spur.frequencyHz,
    upperLimitDb: null,
    changeDb: null,
    changeSigmaDb: null,
    atLeastDb: null,
    exercised: 'shown',
    overAllowedDb: null,
    why: 'Seen in the first state that was measured.',
  };
}

/** The source and harmonic a line is said to have; nulls where several could own it or nobody does. */
export function identityOf({ explanation: { cause, candidates } }: SeenLine): {
  source: string | null;
  harmonic: number | null;
} {
  const [first] = candidates;
  if (first === undefined || (cause !== 'source' && cause !== 'unknown-comb')) return { source: null, harmonic: null };
  return { source: first.source, harmonic: first.harmonic };
}
