import { couldBeMoved } from './could-be-moved.ts';
import type { View } from './whereabouts.ts';

/** Two lines count as about as strong within this; a choice of this tool: three standard deviations of two set-ups at 1 dB and 1 dB of noise. */
const ABOUT_AS_STRONG_DB = 5;

/**
 * Pairs lines that found no partner but are each other's only possible one, moved and about as strong.
 *
 * A single line that leaves its place while another appears next to it is far more often one that moved than two that had nothing
 * to do with each other. Where more than one pairing is possible none is made: then neither is called cleared or new.
 * Returns pairs (line of `own`, line of `other`).
 */
export function movedAlone(view: View): [number, number][] {
  const { own, other, match, matchOfOther } = view;
  const alone = (partner: Int32Array) => Array.from(partner.keys()).filter((line) => partner[line]! < 0);
  const othersAlone = alone(matchOfOther);
  const possible: [number, number][] = [];
  for (const i of alone(match)) for (const j of othersAlone) if (couldBeMoved(view, i, j)) possible.push([i, j]);
  const times = (of: 0 | 1, line: number) => possible.filter((pair) => pair[of] === line).length;
  return possible.filter(
    ([i, j]) =>
      times(0, i) === 1 &&
      times(1, j) === 1 &&
      !familyIsElsewhere(own.lines.owners[i]!, view.moves) &&
      !familyIsElsewhere(other.lines.owners[j]!, view.movesOfOther) &&
      Math.abs(other.lines.levelDb[j]! - own.lines.levelDb[i]!) <= ABOUT_AS_STRONG_DB,
  );
}

function familyIsElsewhere(owners: readonly number[], moves: View['moves']): boolean {
  return owners.some((g) => moves[g] !== null);
}
