import type { ClearedEarlier } from '../../model/track.ts';
import type { MoveSettings } from './move-candidates.ts';
import type { Side } from './side.ts';

/** Which source and harmonic a track is said to be: what both sides say, or one of them where the other says nothing. */
export function identityOf(
  before: Side,
  i: number | null,
  after: Side,
  j: number | null,
): { source: string | null; harmonic: number | null } {
  const left = i === null ? null : sideIdentity(before, i);
  const right = j === null ? null : sideIdentity(after, j);
  if (left === null || right === null) return left ?? right ?? { source: null, harmonic: null };
  if (left.source !== null && right.source !== null && left.source !== right.source)
    return { source: null, harmonic: null };
  return left.source !== null ? left : right.source !== null ? right : left;
}

/** Null where the side names neither source nor comb. A line that several could own has no source. */
function sideIdentity(side: Side, line: number): { source: string | null; harmonic: number | null } | null {
  const { cause, candidates } = side.explanations[line]!;
  const first = candidates[0];
  if (first === undefined) return null;
  if (cause === 'source') return { source: first.source, harmonic: first.harmonic };
  if (cause === 'unknown-comb') return { source: null, harmonic: first.harmonic };
  return null;
}

/** Was this line cleared by an earlier fix? By source and harmonic where both know them, else by frequency. */
export function wasClearedEarlier(
  side: Side,
  line: number,
  earlier: readonly ClearedEarlier[],
  settings: MoveSettings,
): boolean {
  const identity = sideIdentity(side, line);
  const at = side.lines.frequencyHz[line]!;
  const reach =
    3 * Math.hypot(side.lines.sigmaHz[line]!, settings.stableMove * at) + 0.5 * side.lines.resolutionHz[line]!;
  return earlier.some((entry) => {
    if (entry.source !== null && identity !== null && identity.source !== null)
      return entry.source === identity.source && entry.harmonic === identity.harmonic;
    return Math.abs(entry.frequencyHz - at) <= reach;
  });
}
