import type { EvidenceSettings } from '../../model/evidence-settings.ts';
import type { CombView } from './comb-view.ts';
import type { LevelFinding } from './level-finding.ts';
import { median } from '../numeric/median.ts';

/** What became of a comb in another capture. */
export interface CombFate {
  readonly is: 'continues' | 'gone' | 'undecided';
  /** Fundamental there over fundamental here, with one standard deviation; null where it does not continue. */
  readonly ratio: number | null;
  readonly ratioSigma: number;
  /** The other capture's comb that it is; −1 where its lines were found at their own places without a comb being claimed. */
  readonly there: number;
  /** Of its own lines: not there and would have been shown; and all of which the other capture says anything. */
  readonly absent: number;
  readonly decided: number;
  /** Median change of level of its lines, there minus here; null with fewer than three. */
  readonly changeDb: number | null;
}

export interface FateInput {
  readonly here: readonly CombView[];
  readonly there: readonly CombView[];
  /** Level of a line in the weighed capture's decibels; null for a line that cannot be compared. */
  readonly levelHereDb: (spur: number) => number;
  readonly levelThereDb: (spur: number) => number | null;
  /** What stands at each own line's place in the other capture, index of the spur here. */
  readonly findings: readonly LevelFinding[];
  /** Farthest relative move of each comb here. */
  readonly largestMove: readonly number[];
  /** Accuracy of the two frequency axes against each other, relative. */
  readonly axis: number;
  readonly settings: EvidenceSettings;
}

/** Combs with unlike levels are unlike by at most this much log odds: levels alone must not outweigh everything. */
const MOST_LEVEL_COST = 12;
const MOST_COMMON_LINES = 6;
/** Beyond this cost a counterpart is not believed: levels unlike by 4 dB at six lines, say, after a move of 1 %. A choice of this tool. */
const MOST_BELIEVED_COST = 8;

/**
 * Follows each comb into another capture.
 *
 * 1. Every comb there may be a comb here, moved within `largestMove`, at a cost: ln(1 + (move/`loadShiftPpm`)²), whose long
 *    tail lets a rare large move be (a Cauchy law: nobody knows how far a load pulls), and
 *    half the squared difference of the levels at common harmonics in units of `loadLevelDb` (at most six counted). A comb that both
 *    captures give to the same single source is that one.
 * 2. It is the comb here with the lowest cost where the next is `combOdds` dearer; else nothing is said of either. Nor is anything said
 *    of a comb whose nearest counterpart moved up to twice as far as sources move, or is so unlike that it is hard to believe.
 * 3. A comb here without a counterpart has gone where at least `combShare` of its lines (no fewer than `combLines`) are proven absent
 *    from their places, and continues where as many stand there unchanged.
 */
export function combFates(input: FateInput): CombFate[] {
  const { here, there, settings } = input;
  const costs = there.map((other) => here.map((own, c) => costOf(own, other, input.largestMove[c]!, input)));
  const taken = new Map<number, { there: number; cost: number }[]>();
  const contested = new Set<number>();
  costs.forEach((row, t) => {
    const order = [...row.keys()].filter((c) => row[c]! < Infinity).sort((a, b) => row[a]! - row[b]!);
    const best = order[0];
    if (best === undefined) return;
    const rivals = order.filter((c) => row[c]! - row[best]! < settings.combOdds);
    const move = Math.abs(Math.log(there[t]!.comb.fundamentalHz / here[best]!.comb.fundamentalHz));
    const isBelieved = row[best]! <= MOST_BELIEVED_COST && move <= input.largestMove[best]! + 3 * input.axis;
    if (rivals.length > 1 || !isBelieved) for (const c of rivals) contested.add(c);
    else taken.set(best, [...(taken.get(best) ?? []), { there: t, cost: row[best]! }]);
  });
  return here.map((own, c) => {
    const lines = [...own.lines.values()];
    const decided = lines.filter((i) => DECIDED.has(input.findings[i]!.outcome));
    const absent = decided.filter((i) => input.findings[i]!.outcome === 'absent').length;
    const base = { absent, decided: decided.length, there: -1, ratio: null, ratioSigma: 0, changeDb: null };
    const found = (taken.get(c) ?? []).sort((a, b) => a.cost - b.cost);
    const [best, next] = found;
    if (best !== undefined && (next === undefined || next.cost - best.cost >= settings.combOdds)) {
      const other = there[best.there]!;
      const ratio = other.comb.fundamentalHz / own.comb.fundamentalHz;
      const ratioSigma =
        ratio *
        Math.hypot(
          other.comb.fundamentalSigmaHz / other.comb.fundamentalHz,
          own.comb.fundamentalSigmaHz / own.comb.fundamentalHz,
          input.axis,
        );
      return {
        ...base,
        is: 'continues',
        ratio,
        ratioSigma,
        there: best.there,
        changeDb: medianChange(own, other, input),
      };
    }
    if (best !== undefined || contested.has(c) || decided.length < settings.combLines)
      return { ...base, is: 'undecided' };
    if (absent >= settings.combShare * decided.length) return { ...base, is: 'gone' };
    const unchanged = decided.filter((i) => STAYS.has(input.findings[i]!.outcome));
    if (unchanged.length < settings.combShare * decided.length) return { ...base, is: 'undecided' };
    const changes = unchanged.map((i) => input.findings[i]!.changeDb!);
    return { ...base, is: 'continues', ratio: 1, ratioSigma: Math.max(input.axis, 1e-6), changeDb: median(changes) };
  });
}

const DECIDED = new Set<LevelFinding['outcome']>(['same', 'stronger', 'weaker', 'absent']);
const STAYS = new Set<LevelFinding['outcome']>(['same', 'stronger']);

function costOf(own: CombView, other: CombView, largestMove: number, input: FateInput): number {
  const { settings } = input;
  const move = Math.log(other.comb.fundamentalHz / own.comb.fundamentalHz);
  if (Math.abs(move) > 2 * largestMove + 3 * input.axis) return Infinity;
  if (own.comb.source !== null && own.comb.source === other.comb.source) return 0;
  const differences = commonDifferences(own, other, input);
  const meanSquare = differences.reduce((sum, d) => sum + d * d, 0) / Math.max(1, differences.length);
  const counted = Math.min(differences.length, MOST_COMMON_LINES);
  const levels = Math.min(MOST_LEVEL_COST, (counted * meanSquare) / (2 * settings.loadLevelDb ** 2));
  return Math.log1p(((1e6 * move) / settings.loadShiftPpm) ** 2) + levels;
}

function commonDifferences(own: CombView, other: CombView, input: FateInput): number[] {
  return [...own.lines].flatMap(([harmonic, i]) => {
    const j = other.lines.get(harmonic);
    const there = j === undefined ? null : input.levelThereDb(j);
    return there === null ? [] : [there - input.levelHereDb(i)];
  });
}

function medianChange(own: CombView, other: CombView, input: FateInput): number | null {
  const differences = commonDifferences(own, other, input);
  return differences.length < 3 ? null : median(differences);
}
