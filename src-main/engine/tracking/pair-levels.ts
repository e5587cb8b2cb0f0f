import { humpLevel } from './hump-level.ts';
import { judgeSeenTwice, type Doubts, type Level } from './judge-track.ts';
import type { Side } from './side.ts';

/** Power of a line, or integrated power of a hump. */
export function levelOf(side: Side, i: number): Level {
  const spur = side.spurs[i]!;
  return spur.shape === 'hump' ? humpLevel(side, i, null) : { levelDb: spur.levelDb, sigmaDb: spur.levelSigmaDb };
}

/** Where either is a hump both are integrated over the same width, that of the wider one. */
export function levelsOfPair(before: Side, i: number, after: Side, j: number): [Level, Level] {
  if (before.spurs[i]!.shape === 'line' && after.spurs[j]!.shape === 'line')
    return [levelOf(before, i), levelOf(after, j)];
  return [humpLevel(before, i, { side: after, line: j }), humpLevel(after, j, { side: before, line: i })];
}

/**
 * A line and a hump are one only where the hump holds no more power than the line did (a line that was spread); a hump with more has
 * come over the line and hides it. Unmakes such pairs.
 */
export function partLinesFromHumps(before: Side, after: Side, ofA: Int32Array, ofB: Int32Array, doubts: Doubts): void {
  if (!doubts.comparable) return;
  for (let i = 0; i < before.lines.count; i++) {
    const j = ofA[i]!;
    if (j < 0 || before.spurs[i]!.shape === after.spurs[j]!.shape) continue;
    const { status } = judgeSeenTwice(...levelsOfPair(before, i, after, j), doubts);
    if (status !== (after.spurs[j]!.shape === 'hump' ? 'stronger' : 'weaker')) continue;
    ofA[i] = -1;
    ofB[j] = -1;
  }
}
