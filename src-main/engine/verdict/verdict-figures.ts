import type { Demand } from '../../model/requirement.ts';
import type { DecidingLine } from '../../model/verdict.ts';
import type { BandLine } from './band-lines.ts';
import type { BandView } from './band-view.ts';
import { mayShow, type CellUnion } from './cell-union.ts';

/** The numbers of a verdict, before anything is ruled. */
export interface Figures {
  readonly unit: string;
  readonly found: number | null;
  readonly foundLow: number | null;
  readonly foundHigh: number | null;
  readonly allowed: number | null;
  readonly margin: number | null;
  readonly decidedBy: DecidingLine | null;
  readonly line: BandLine | null;
  /** Clean channels: even with every doubt in favour there are too few. */
  readonly isShort: boolean;
  readonly channels: number | null;
}

const NOTHING: Figures = {
  unit: 'unknown',
  found: null,
  foundLow: null,
  foundHigh: null,
  allowed: null,
  margin: null,
  decidedBy: null,
  line: null,
  isShort: false,
  channels: null,
};

/** The line that comes nearest to what is allowed or exceeds it most, its doubt counted; without a line, what could have been missed. */
export function levelFigures(views: readonly BandView[], union: readonly CellUnion[]): Figures {
  const worst = worstLine(views);
  const usable = views.find(mayShow);
  const missed = union.reduce<CellUnion['hidden']>(
    (most, { hidden }) => (hidden !== null && (most === null || hidden.overDb > most.overDb) ? hidden : most),
    null,
  );
  if (worst === null) {
    if (missed === null || usable === undefined || !Number.isFinite(missed.overDb)) return NOTHING;
    return {
      ...NOTHING,
      unit: usable.reading.unit?.name ?? 'unknown',
      foundHigh: missed.allowedDb + missed.overDb,
      allowed: missed.allowedDb,
      margin: -missed.overDb,
      decidedBy: {
        captureId: usable.reading.capture.captureId,
        spurIndex: null,
        frequencyHz: missed.atHz,
        inBandHz: missed.atHz,
        source: null,
        harmonic: null,
        levelDb: null,
        levelSigmaDb: null,
        unit: usable.reading.unit?.name ?? 'unknown',
      },
    };
  }
  const { line, view } = worst;
  const over = Math.max(line.over.high, missed !== null && Number.isFinite(missed.overDb) ? missed.overDb : -Infinity);
  return {
    ...NOTHING,
    unit: view.reading.unit?.name ?? 'unknown',
    found: line.levelDb,
    foundLow: line.allowedDb + line.over.low,
    foundHigh: line.allowedDb + line.over.high,
    allowed: line.allowedDb,
    margin: -over,
    decidedBy: decidingLine(line, view),
    line,
  };
}

/** Counts of channels: certainly clean, by the best estimate, and at most. */
export function countsFigures(
  union: readonly CellUnion[],
  channels: number,
  demand: Demand,
  views: readonly BandView[],
): Figures {
  const least = demand.kind === 'clean-channels' ? neededChannels(demand, channels) : channels;
  const clean = union.filter(({ state }) => state === 'clean').length;
  const spoiled = union.filter(({ state }) => state === 'spoiled').length;
  const best = union.filter(({ isCleanAtBest }) => isCleanAtBest).length;
  const worst = worstLine(views);
  return {
    ...NOTHING,
    unit: 'channels',
    found: best,
    foundLow: clean,
    foundHigh: channels - spoiled,
    allowed: least,
    margin: clean - least,
    decidedBy: worst === null || worst.line.over.high <= 0 ? null : decidingLine(worst.line, worst.view),
    line: worst?.line ?? null,
    isShort: channels - spoiled < least,
    channels,
  };
}

/** A share is rounded up to whole channels; the slack is rounding of the share's own digits. */
export function neededChannels(demand: Extract<Demand, { kind: 'clean-channels' }>, channels: number): number {
  return demand.as === 'count' ? demand.atLeast : Math.ceil(demand.atLeast * channels - 1e-9);
}

/** The line that hides a band although it is not the build's: what an acceptance would have to name; null where none does. */
export function maskingLine(views: readonly BandView[]): DecidingLine | null {
  let worst: { line: BandLine; view: BandView } | null = null;
  for (const view of views)
    for (const line of view.lines) {
      if (line.isOfBuild || line.isAccepted || line.over.high <= 0) continue;
      if (worst === null || line.over.high > worst.line.over.high) worst = { line, view };
    }
  return worst === null ? null : decidingLine(worst.line, worst.view);
}

function worstLine(views: readonly BandView[]): { line: BandLine; view: BandView } | null {
  let worst: { line: BandLine; view: BandView } | null = null;
  for (const view of views)
    for (const line of view.lines) {
      if (!line.isInside || !line.isOfBuild || line.isAccepted) continue;
      if (worst === null || line.over.high > worst.line.over.high) worst = { line, view };
    }
  return worst;
}

export function decidingLine(line: BandLine, { reading }: BandView): DecidingLine {
  const { cause, candidates } = line.explanation;
  const owner = cause === 'source' || cause === 'unknown-comb' ? candidates[0] : undefined;
  return {
    captureId: line.captureId,
    spurIndex: line.spurIndex,
    frequencyHz: line.frequencyHz,
    inBandHz: line.inBandHz,
    source: owner?.source ?? null,
    harmonic: owner?.harmonic ?? null,
    levelDb: line.spur.levelDb,
    levelSigmaDb: line.spur.levelSigmaDb,
    unit: reading.unit?.name ?? 'unknown',
  };
}
