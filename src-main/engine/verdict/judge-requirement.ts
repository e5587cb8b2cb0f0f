import type { Band } from '../../model/band.ts';
import { LIMIT_NOT_CONFIRMED, type LimitLine } from '../../model/limit-line.ts';
import type { Requirement, TemperatureRange } from '../../model/requirement.ts';
import type { Source } from '../../model/source.ts';
import type { Verdict } from '../../model/verdict.ts';
import type { Obstacle } from './allowance.ts';
import type { BandView } from './band-view.ts';
import { REASON_OF, mayShow, unionOf, type CellUnion } from './cell-union.ts';
import type { Cell } from './channel-grid.ts';
import { canReach, ranIn } from './exercised.ts';
import { imagesOf } from './images.ts';
import { countsFigures, levelFigures, maskingLine, type Figures } from './verdict-figures.ts';
import { cellsText, obstacleText, saidOf } from './verdict-words.ts';

/** One requirement in one band under one set of conditions, with the captures that speak for it. */
export interface CellInput {
  readonly requirement: Requirement;
  readonly band: Band;
  readonly limit: LimitLine | null;
  readonly mode: string | null;
  readonly temperature: TemperatureRange | null;
  readonly point: string | null;
  /** Parallel to the cells: channels for a count of channels, else the pieces of the band. */
  readonly views: readonly BandView[];
  readonly cells: readonly Cell[];
  readonly sources: readonly Source[];
  /** Designators that somebody accepted as not running. */
  readonly notRunning: readonly { readonly source: string; readonly dispositionId: number }[];
  /** Dispositions behind accepted lines of these captures, and behind inherited evidence. */
  readonly acceptedBy: readonly number[];
  /** One-sided, of the bounds that decide. */
  readonly confidence: number;
  /** Why no capture speaks for it; only used where there is none. */
  readonly missing: Obstacle;
}

/**
 * The verdict. In this order, so that nothing holds by default:
 *
 * 1. falls short: a line of the build certainly exceeds what is allowed (or certainly spoils too many channels);
 * 2. not shown: no capture; none that may be compared; a part of the band not covered, not sensitive enough, hidden by something that
 *    is not the build's, or with a line that may exceed; a source that may not have run while the band was shown clean;
 * 3. holds.
 */
export function judgeRequirement(input: CellInput): Verdict {
  const { views, cells, requirement, confidence } = input;
  const union = unionOf(views, cells.length);
  const counts = requirement.demand.kind === 'clean-channels';
  const figures = counts ? countsFigures(union, cells.length, requirement.demand, views) : levelFigures(views, union);
  const shortfall = counts ? figures.isShort : certainExcess(views);
  if (shortfall && views.length > 0)
    return verdict(input, figures, { ruling: 'falls short', reason: null }, saidOf(figures, confidence));
  const obstacle =
    noneUsable(input) ??
    (counts ? tooFew(union, figures, cells) : wholeBand(union, cells, figures, views)) ??
    notExercised(input, figures, counts);
  if (obstacle !== null)
    return verdict(
      input,
      figures,
      { ruling: 'not shown', reason: obstacle.reason },
      obstacleText(obstacle, figures, confidence),
    );
  return verdict(input, figures, { ruling: 'holds', reason: null }, saidOf(figures, confidence));
}

function certainExcess(views: readonly BandView[]): boolean {
  return views.some(({ lines, fit }) => fit.fallsShort === null && lines.some(isCertain));
}

function isCertain(line: BandView['lines'][number]): boolean {
  return line.over.low > 0 && line.isSurelyInside && line.isOfBuild && !line.isAccepted;
}

function noneUsable({ views, missing }: CellInput): Obstacle | null {
  if (views.length === 0) return missing;
  if (views.some(mayShow)) return null;
  const [first] = views;
  return views.map(({ obstacle }) => obstacle).find((one) => one !== null) ?? first!.fit.holds!;
}

/** For the strongest line every piece of the band must be shown clean. */
function wholeBand(
  union: readonly CellUnion[],
  cells: readonly Cell[],
  figures: Figures,
  views: readonly BandView[],
): Obstacle | null {
  for (const state of ['uncovered', 'insensitive', 'doubtful', 'spoiled', 'masked', 'unusable'] as const) {
    const at = union.flatMap((cell, i) => (cell.state === state ? [i] : []));
    if (at.length === 0) continue;
    const reason = state === 'spoiled' || state === 'unusable' ? 'cannot tell' : REASON_OF[state];
    // a line that exceeds in a reading that may be too high is only doubtful
    const tooHigh = state === 'doubtful' ? views.find(({ fit }) => fit.fallsShort !== null)?.fit.fallsShort : null;
    const text = cellsText(state, at, cells, union, figures);
    return { reason, why: tooHigh == null ? text : `${text}; ${tooHigh.why}` };
  }
  return null;
}

/** For a count of channels the largest group of those that are not clean says why it is not reached. */
function tooFew(union: readonly CellUnion[], figures: Figures, cells: readonly Cell[]): Obstacle | null {
  if (figures.foundLow !== null && figures.allowed !== null && figures.foundLow >= figures.allowed) return null;
  let largest: { state: 'uncovered' | 'insensitive' | 'masked' | 'doubtful'; at: number[] } | null = null;
  for (const state of ['uncovered', 'insensitive', 'masked', 'doubtful'] as const) {
    const at = union.flatMap((cell, i) => (cell.state === state ? [i] : []));
    if (at.length > (largest?.at.length ?? 0)) largest = { state, at };
  }
  if (largest === null) return { reason: 'cannot tell', why: 'no capture shows enough channels' };
  return { reason: REASON_OF[largest.state], why: cellsText(largest.state, largest.at, cells, union, figures) };
}

/** Every source that can reach the band must have run in captures that by themselves show what is asked. */
function notExercised(input: CellInput, figures: Figures, counts: boolean): Obstacle | null {
  const { band, views, sources, notRunning, cells } = input;
  const images = imagesOf(band);
  const [lowHz, highHz] = [Math.min(...images.map((one) => one.lowHz)), Math.max(...images.map((one) => one.highHz))];
  const silent = sources.filter((source) => {
    if (!canReach(source, lowHz, highHz)) return false;
    if (notRunning.some((one) => one.source === source.designator)) return false;
    const ran = views.filter((view) => mayShow(view) && ranIn(source, view.reading.capture, sources));
    const clean = cells.reduce((n, _, i) => n + (ran.some((view) => view.cells[i]!.state === 'clean') ? 1 : 0), 0);
    return clean < (counts ? figures.allowed! : cells.length);
  });
  if (silent.length === 0) return null;
  const names = silent.map(({ designator }) => designator).join(', ');
  return {
    reason: 'not exercised',
    why: `nothing shows that ${names} ran while the band was shown clean; take a capture with ${silent.length === 1 ? 'it' : 'them'} running, or accept in writing that ${silent.length === 1 ? 'it does' : 'they do'} not run here`,
  };
}

function verdict(
  input: CellInput,
  figures: Figures,
  { ruling, reason }: Pick<Verdict, 'ruling' | 'reason'>,
  why: string,
): Verdict {
  const { requirement, band, limit, mode, temperature, point, views } = input;
  const isLimitConfirmed = limit?.isConfirmed ?? true;
  const { found, foundLow, foundHigh, allowed, margin, unit } = figures;
  const decidedBy = (reason === 'masked' ? maskingLine(views) : null) ?? figures.decidedBy;
  const relied =
    ruling === 'holds'
      ? [...input.acceptedBy, ...input.notRunning.map(({ dispositionId }) => dispositionId)]
      : input.acceptedBy;
  return {
    requirementId: requirement.id,
    code: requirement.code,
    band: band.name,
    limit: limit?.name ?? null,
    isLimitConfirmed,
    mode,
    temperature,
    point,
    ruling,
    reason,
    captureIds: views.map(({ reading }) => reading.capture.captureId),
    unit,
    found,
    foundLow,
    foundHigh,
    allowed,
    margin,
    decidedBy,
    dispositionIds: [...new Set(relied)].sort((a, b) => a - b),
    why: isLimitConfirmed ? why : `${why} ${capital(LIMIT_NOT_CONFIRMED)}: ${limit!.origin}.`,
  };
}

function capital(text: string): string {
  return text[0]!.toUpperCase() + text.slice(1);
}
