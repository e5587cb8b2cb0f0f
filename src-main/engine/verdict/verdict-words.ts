import { formatDecimal, formatFrequency, formatLevel, formatSigned } from '../../units/format.ts';
import type { LineExplanation } from '../../model/attribution.ts';
import type { Obstacle } from './allowance.ts';
import type { BandLine } from './band-lines.ts';
import type { CellUnion, UnionState } from './cell-union.ts';
import type { Cell } from './channel-grid.ts';
import type { Figures } from './verdict-figures.ts';

/** What was found, against what is allowed, in one sentence with its doubt and the one-sided confidence of its bounds. */
export function saidOf(figures: Figures, confidence: number): string {
  const percent = `${Number((100 * confidence).toPrecision(4))} %`;
  const { unit, found, foundLow, foundHigh, allowed, margin, line } = figures;
  if (unit === 'channels')
    return `${found} of ${figures.channels} channels are clean (${foundLow} at ${percent} confidence, at most ${foundHigh}); ${allowed} are needed.`;
  if (allowed === null || margin === null) return 'There is nothing to compare.';
  const doubtDb = line === null ? 0 : (line.over.high - line.over.low) / 2;
  const limit = `the ${formatLevel(allowed, unit)} allowed`;
  if (line === null || found === null)
    return `No line was found; the strongest that could have been missed, ${formatLevel(foundHigh!, unit)} with its doubt, stays ${formatDecimal(margin, 1)} dB below ${limit} at ${percent} confidence.`;
  const standing =
    line.over.low > 0
      ? `exceeds ${limit} by at least ${formatDecimal(line.over.low, 1)} dB at ${percent} confidence`
      : margin >= 0
        ? `stays at least ${formatDecimal(margin, 1)} dB below ${limit} at ${percent} confidence, what could have been missed counted in`
        : `stands ${formatSigned(line.over.best, 1)} dB against ${limit}`;
  return `The line that decides, ${nameOf(line)} at ${formatFrequency(line.frequencyHz, line.spur.frequencySigmaHz)}, has ${formatLevel(found, unit, doubtDb)} (${percent} bound) and ${standing}.`;
}

/** Why it is not shown, with the numbers beside it. */
export function obstacleText({ reason, why }: Obstacle, figures: Figures, confidence: number): string {
  const numbers =
    figures.allowed === null || figures.margin === null || reason === 'no unit'
      ? ''
      : ` ${saidOf(figures, confidence)}`;
  return `Not shown, ${reason}: ${why}.${numbers}`;
}

const WHAT: Readonly<Record<UnionState, string>> = {
  uncovered: 'no capture covers',
  insensitive: 'noise could hide a line that is not allowed in',
  masked: 'something that is not the build’s, or the skirt of a stronger line, hides',
  doubtful: 'a line may exceed what is allowed, within its doubt, in',
  spoiled: 'a line exceeds what is allowed in',
  unusable: 'no capture may show',
  clean: '',
};

/** `noise could hide a line that is not allowed in 12 of 450 parts, 8.1–13.9 MHz: 3.2 dB too insensitive there`. */
export function cellsText(
  state: UnionState,
  at: readonly number[],
  cells: readonly Cell[],
  union: readonly CellUnion[],
  { line }: Figures,
): string {
  const [first, last] = [cells[at[0]!]!, cells[at.at(-1)!]!];
  const share = at.length === cells.length ? 'the whole of it' : `${at.length} of ${cells.length} parts`;
  const where = `${WHAT[state]} ${share}, ${formatFrequency(first.lowHz)} to ${formatFrequency(last.highHz)}`;
  if (state === 'insensitive') {
    const worst = Math.max(...at.map((i) => union[i]!.hidden?.overDb ?? -Infinity));
    return Number.isFinite(worst) ? `${where}: ${formatDecimal(worst, 1)} dB too insensitive there` : where;
  }
  if (state === 'doubtful' && line !== null && line.over.low <= 0)
    return `${where}: ${nameOf(line)} may exceed by up to ${formatDecimal(line.over.high, 1)} dB`;
  return where;
}

/** Whose a line is, and by whose decision where the tool alone does not say so. */
export function nameOf({ explanation }: BandLine): string {
  const { decidedBy } = explanation;
  return decidedBy === undefined ? ownerOf(explanation) : `${ownerOf(explanation)} (decided by ${decidedBy})`;
}

function ownerOf({ cause, candidates }: LineExplanation): string {
  const [first] = candidates;
  if (cause === 'source' && first !== undefined) return `${first.source} × ${first.harmonic}`;
  if (cause === 'ambiguous' || cause === 'shared')
    return candidates
      .map(({ source, harmonic }) => `${source ?? 'an unknown comb'} × ${harmonic}`)
      .join(cause === 'shared' ? ' and ' : ' or ');
  return cause === 'unknown-comb' ? 'an unknown comb' : 'a line nobody explains';
}
