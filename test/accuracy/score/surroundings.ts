import type { AccuracyCase, TruthLine } from '../cases/case.ts';
import { filterDb, filterReach } from '../simulator/resolution-filter.ts';

/** How free a true line stands of the other true lines. */
export interface Surroundings {
  /**
   * It must be found: 10 dB over the floor, inside the span, and no other line disturbs it. That is: every line that is not at
   * least 6 dB weaker lies two bandwidths (and two points) away or further, and its skirt three quarters of a bandwidth nearer
   * than this line's centre, where the valley between the two must be, still lies 10 dB under this line. Lines smeared by their
   * own wandering over more than half a bandwidth do not count.
   */
  readonly clear: boolean;
  /** Nothing within four bandwidths adds more than a hundredth of its power at its place: its frequency and level can be judged. */
  readonly isolated: boolean;
}

/** Looks at each line's neighbours. Lines ascend in frequency; result parallel to them. */
export function surroundingsOf(subject: AccuracyCase): Surroundings[] {
  const { lines, rbwHz, spacingHz, filter, frequencyHz } = subject;
  const closestHz = 2 * Math.max(rbwHz, spacingHz);
  const strongest = lines.reduce((most, line) => Math.max(most, line.overFloorDb), 0);
  const reachHz = rbwHz * (filterReach(filter, strongest + 10) + 1) + closestHz;
  const spanLowHz = frequencyHz[0]! + 2 * closestHz;
  const spanHighHz = frequencyHz[frequencyHz.length - 1]! - 2 * closestHz;
  return lines.map((line, index) => {
    let clear =
      line.overFloorDb >= 10 &&
      line.frequencyHz > spanLowHz &&
      line.frequencyHz < spanHighHz &&
      line.smearHz < 0.5 * rbwHz;
    let isolated = clear && line.smearHz < 0.15 * rbwHz;
    const look = (other: TruthLine): boolean => {
      const apartHz = Math.abs(other.frequencyHz - line.frequencyHz);
      if (apartHz > reachHz) return false;
      const aboveDb = other.levelDb - line.levelDb;
      if (aboveDb > -6) {
        const valley = Math.max(0, apartHz - 0.75 * rbwHz - 0.5 * spacingHz - other.smearHz) / rbwHz;
        if (apartHz < closestHz || aboveDb + filterDb(filter, valley) > -10) clear = false;
      }
      const nearer = Math.max(0, apartHz - rbwHz) / rbwHz;
      if (aboveDb + filterDb(filter, nearer) > -20) isolated = false;
      return true;
    };
    for (let i = index - 1; i >= 0 && look(lines[i]!); i--);
    for (let i = index + 1; i < lines.length && look(lines[i]!); i++);
    return { clear, isolated: isolated && clear };
  });
}
