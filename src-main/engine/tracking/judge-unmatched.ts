import type { TrackStatus } from '../../model/track.ts';
import type { Judgement } from './judge-track.ts';
import type { Reach } from './side-limit.ts';
import type { View } from './whereabouts.ts';

/** A family of which this many lines, and half of all, are proven to be gone everywhere it may have moved, is gone as a whole. */
const LINES_OF_A_GONE_FAMILY = 3;

/**
 * Judges every own line without a partner, first against all places it may have moved to.
 *
 * Where that proves (`proven`) most of a family to be gone from everywhere, nothing says that the rest moved: they are judged at
 * their likeliest places. Without this the noise of a wide window would hide the weaker lines of a source that is plainly off.
 */
export function judgeUnmatched(
  { own, match, moves }: View,
  proven: TrackStatus,
  judge: (line: number, reach: Reach) => Judgement,
): Map<number, Judgement> {
  const judged = new Map<number, Judgement>();
  match.forEach((partner, line) => {
    if (partner < 0) judged.set(line, judge(line, 'far'));
  });
  own.lines.groups.forEach(({ members }, g) => {
    if (moves[g] !== null) return;
    const alone = members.filter((line) => judged.has(line));
    const rest = alone.filter((line) => judged.get(line)!.status !== proven);
    const gone = alone.length - rest.length;
    if (gone >= LINES_OF_A_GONE_FAMILY && gone >= rest.length)
      for (const line of rest) judged.set(line, judge(line, 'near'));
  });
  return judged;
}
