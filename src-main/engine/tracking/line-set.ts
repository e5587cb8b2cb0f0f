import type { Candidate, LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';
import type { Spur } from '../../model/spur.ts';
import { nearestIndex, type SideTrace } from './side-trace.ts';

/** A family of lines that move together: a named source or a comb nobody knows. */
export interface LineGroup {
  /** Designator; null for a comb that the register does not know or that several entries could own. */
  readonly name: string | null;
  readonly fundamentalHz: number;
  readonly fundamentalSigmaHz: number;
  /** Lines of the set that belong to it alone; where they are fewer than three, those it shares with others as well. */
  readonly members: readonly number[];
}

/** The lines of one capture, or of all files of a side together, as columns for matching. Any order. */
export interface LineSet {
  readonly count: number;
  readonly frequencyHz: Float64Array;
  readonly sigmaHz: Float64Array;
  readonly levelDb: Float64Array;
  /** How far apart two lines must be here to be told apart: bandwidth or spacing, or the width of a hump. */
  readonly resolutionHz: Float64Array;
  /** Index into `groups`; −1: belongs to none, or to several at once. */
  readonly group: Int32Array;
  /** Groups that a line may belong to: its own, all that fall on it, or none. */
  readonly owners: readonly (readonly number[])[];
  /** Harmonic number in its group; 0 where there is none. */
  readonly harmonic: Int32Array;
  readonly groups: readonly LineGroup[];
  /** Level that a line must have at a frequency to be seen for certain in at least one file; Infinity where nothing covers it. */
  readonly seenFromDb: (frequencyHz: number) => number;
}

/** Columns of one triage. A line several combs fall on (`shared`) stays without a group: it moves with none of them for certain. */
export function lineSetOf(trace: SideTrace): LineSet {
  const { offsetDb } = trace;
  const resolutionHz = Math.max(trace.rbwHz, trace.spacingHz);
  const { triage } = trace.triaged;
  const { spurs, explanations, combs } = triage;
  const count = spurs.length;
  const group = new Int32Array(count).fill(-1);
  const harmonic = new Int32Array(count);
  for (let i = 0; i < count; i++) {
    const place = combOfLine(explanations[i]!, combs);
    if (place === null) continue;
    group[i] = place.comb;
    harmonic[i] = place.harmonic;
  }
  const owners = explanations.map((explanation, i) => (group[i]! >= 0 ? [group[i]!] : sharersOf(explanation, combs)));
  const members = membersOf(combs.length, group, owners);
  return {
    count,
    frequencyHz: Float64Array.from(spurs, (spur) => spur.frequencyHz),
    sigmaHz: Float64Array.from(spurs, (spur) => spur.frequencySigmaHz),
    levelDb: Float64Array.from(spurs, (spur) => spur.levelDb + offsetDb),
    resolutionHz: Float64Array.from(spurs, (spur) => resolutionOf(spur, resolutionHz)),
    group,
    owners,
    harmonic,
    groups: combs.map((comb, c) => ({
      name: comb.source,
      fundamentalHz: comb.fundamentalHz,
      fundamentalSigmaHz: comb.fundamentalSigmaHz,
      members: members[c]!,
    })),
    seenFromDb: (frequencyHz) => seenFromDb(trace, frequencyHz),
  };
}

/** The lines of each group: its own; a group with fewer than three of its own is known by those it shares, too. */
export function membersOf(
  groups: number,
  group: ArrayLike<number>,
  owners: readonly (readonly number[])[],
): number[][] {
  const own = Array.from({ length: groups }, (): number[] => []);
  const all = Array.from({ length: groups }, (): number[] => []);
  owners.forEach((names, line) => {
    for (const g of names) all[g]!.push(line);
    if (group[line]! >= 0) own[group[line]!]!.push(line);
  });
  return own.map((lines, g) => (lines.length < 3 ? all[g]! : lines));
}

/** A line this far over the threshold is not missed; a choice of this tool. */
const NOT_MISSED_DB = 3;

function seenFromDb({ frequencyHz, levelDb, triaged, offsetDb }: SideTrace, atHz: number): number {
  if (atHz < frequencyHz[0]! || atHz > frequencyHz[frequencyHz.length - 1]!) return Infinity;
  const nearest = nearestIndex(frequencyHz, atHz);
  // Where something stands over the threshold already, a weaker line is not seen beside it.
  const hidesDb = Math.max(triaged.triage.floor.thresholdDb[nearest]!, levelDb[nearest]!);
  return Number.isNaN(hidesDb) ? Infinity : hidesDb + offsetDb + NOT_MISSED_DB;
}

function resolutionOf(spur: Spur, resolutionHz: number): number {
  return spur.shape === 'hump' ? Math.max(resolutionHz, spur.widthHz) : resolutionHz;
}

/** Which of the capture's combs a line was given to, by its best candidate; null where none or more than one. */
function combOfLine(explanation: LineExplanation, combs: readonly Comb[]): { comb: number; harmonic: number } | null {
  const { cause, candidates } = explanation;
  if (cause !== 'source' && cause !== 'ambiguous' && cause !== 'unknown-comb') return null;
  const candidate = candidates[0];
  if (candidate === undefined) return null;
  const comb = combOfCandidate(candidate, combs);
  return comb < 0 ? null : { comb, harmonic: candidate.harmonic };
}

/** All combs that fall on a shared line. */
function sharersOf({ cause, candidates }: LineExplanation, combs: readonly Comb[]): number[] {
  if (cause !== 'shared') return [];
  return [...new Set(candidates.map((candidate) => combOfCandidate(candidate, combs)))].filter((comb) => comb >= 0);
}

/** The comb whose fundamental the candidate's is; −1 where none. */
function combOfCandidate(candidate: Candidate, combs: readonly Comb[]): number {
  const fundamentalHz = candidate.predictedHz / candidate.harmonic;
  let best = -1;
  let bestDistance = Infinity;
  for (let c = 0; c < combs.length; c++) {
    const comb = combs[c]!;
    const owned =
      candidate.source === null
        ? comb.source === null
        : comb.source === candidate.source || comb.couldAlsoBe.includes(candidate.source);
    if (!owned) continue;
    const distance = Math.abs(comb.fundamentalHz / fundamentalHz - 1);
    if (distance < bestDistance) {
      best = c;
      bestDistance = distance;
    }
  }
  // 1e-3: a comb is one fundamental; a candidate of another comb of the same entry lies farther off.
  return bestDistance > 1e-3 ? -1 : best;
}
