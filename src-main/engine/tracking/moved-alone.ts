import { couldBeMoved } from './could-be-moved.ts';
import type { LineSet } from './line-set.ts';
import type { View } from './whereabouts.ts';

/** Two lines count as about as strong within this; a choice of this tool: three standard deviations of two set-ups at 1 dB and 1 dB of noise. */
const ABOUT_AS_STRONG_DB = 5;
/** So near, relative, that a line found there is hardly another one, whatever its level; a choice of this tool: the wander of a warm source. */
const CLOSE_BY = 0.002;

/**
 * Pairs lines that found no partner but are each other's only possible one: close by, or anywhere in reach and about as strong.
 *
 * A single line that leaves its place while another appears next to it is far more often one that moved than two that had nothing
 * to do with each other. Where more than one pairing is possible none is made: then neither is called cleared or new.
 * Returns pairs (line of `own`, line of `other`).
 */
export function movedAlone(view: View): [number, number][] {
  const { own, other, match, matchOfOther } = view;
  const alone = (partner: Int32Array, owners: LineSet['owners'], moves: View['moves']) =>
    Array.from(partner.keys()).filter((line) => partner[line]! < 0 && !familyIsElsewhere(owners[line]!, moves));
  const ownAlone = alone(match, own.lines.owners, view.moves);
  const othersAlone = alone(matchOfOther, other.lines.owners, view.movesOfOther);
  const possible: [number, number][] = [];
  for (const i of ownAlone) for (const j of othersAlone) if (couldBeMoved(view, i, j)) possible.push([i, j]);
  const ratioOf = ([i, j]: [number, number]) => Math.abs(other.lines.frequencyHz[j]! / own.lines.frequencyHz[i]! - 1);
  const changeOf = ([i, j]: [number, number]) => Math.abs(other.lines.levelDb[j]! - own.lines.levelDb[i]!);

  const close = mutual(possible.filter((pair) => ratioOf(pair) <= CLOSE_BY));
  const paired = new Set(close.map(([i]) => i));
  const pairedOther = new Set(close.map(([, j]) => j));
  const rest = possible.filter(([i, j]) => !paired.has(i) && !pairedOther.has(j));
  return [...close, ...mutual(rest).filter((pair) => changeOf(pair) <= ABOUT_AS_STRONG_DB)];
}

/** The pairs whose lines are in no other pair. */
function mutual(pairs: readonly [number, number][]): [number, number][] {
  const times = [new Map<number, number>(), new Map<number, number>()] as const;
  for (const pair of pairs) pair.forEach((line, of) => times[of]!.set(line, (times[of]!.get(line) ?? 0) + 1));
  return pairs.filter(([i, j]) => times[0].get(i) === 1 && times[1].get(j) === 1);
}

function familyIsElsewhere(owners: readonly number[], moves: View['moves']): boolean {
  return owners.some((g) => moves[g] !== null);
}
