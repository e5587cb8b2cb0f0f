import type { View } from './whereabouts.ts';

/** Lines of the other side this near, in resolutions, can have stood where this line stands now, or have had it under them. */
const NEAR = 1.6;
/** … if they are not this much weaker, dB. Both are choices of this tool, found on simulated builds. */
const MUCH_WEAKER_DB = 10;

/**
 * Does the other side have a line so near, and not much weaker, that own line `j` may have been part of it? Lines closer than about one and a half
 * resolutions run into one spur on one side and stand apart on the other, with a place between the two that shows little power.
 */
export function besideEarlierLine(view: View, j: number): boolean {
  const mine = view.own.lines;
  const theirs = view.other.lines;
  const at = mine.frequencyHz[j]!;
  for (let i = 0; i < theirs.count; i++) {
    const reach = NEAR * Math.max(mine.resolutionHz[j]!, theirs.resolutionHz[i]!);
    if (Math.abs(theirs.frequencyHz[i]! - at) <= reach && theirs.levelDb[i]! >= mine.levelDb[j]! - MUCH_WEAKER_DB)
      return true;
  }
  return false;
}
