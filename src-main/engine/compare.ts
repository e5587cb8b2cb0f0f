import type { Band } from '../model/band.ts';
import type { CompareSettings } from '../model/compare-settings.ts';
import type { Source } from '../model/source.ts';
import type { ClearedEarlier, Comparison, SideSpur, Track } from '../model/track.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { allowedDb } from './tracking/band-allowance.ts';
import { besideEarlierLine } from './tracking/beside-earlier-line.ts';
import { besideMovedTooth } from './tracking/beside-moved-tooth.ts';
import { exercisedLookup, stateWarnings } from './tracking/exercised.ts';
import { identityOf, wasClearedEarlier } from './tracking/identity.ts';
import { doubtsOf, judgeCome, judgeGone, judgeSeenTwice, type Judgement } from './tracking/judge-track.ts';
import { judgeUnmatched } from './tracking/judge-unmatched.ts';
import { matchLines } from './tracking/match-lines.ts';
import { movedAlone } from './tracking/moved-alone.ts';
import { levelOf, levelsOfPair, partLinesFromHumps } from './tracking/pair-levels.ts';
import { repeatabilityOf } from './tracking/repeatability.ts';
import { settingDifferences } from './tracking/setting-differences.ts';
import { SideLimits, type Reach } from './tracking/side-limit.ts';
import { commonScale } from './tracking/side-trace.ts';
import type { Side } from './tracking/side.ts';
import { SideMemory } from './tracking/side-memory.ts';
import { sourceChanges } from './tracking/source-changes.ts';
import { isEdgeOfRaisedFloor } from './tracking/floor-edge.ts';
import { distanceToNearest, mirrored, type View } from './tracking/whereabouts.ts';

export interface CompareInput {
  /** One or several captures of one state a side, at least one each. */
  readonly before: readonly TriagedTrace[];
  readonly after: readonly TriagedTrace[];
  readonly sources: readonly Source[];
  readonly settings: CompareSettings;
  readonly bands?: readonly Band[];
  readonly clearedEarlier?: readonly ClearedEarlier[];
  /** Where given, tracks are made only of the before lines it is true of, and none of lines seen only after: others are not asked for. */
  readonly onlyBefore?: (line: SideSpur) => boolean;
  /** What earlier comparisons with the same sources and settings worked out; left out: nothing is kept. Changes no result. */
  readonly memory?: SideMemory;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/**
 * Follows every spur from a before side to an after side. Pure: the same input gives the same result.
 *
 * 1. All levels on one scale, or none compared.
 * 2. The files of each side become one list of lines.
 * 3. Lines are matched: source and harmonic first, then frequency; then single lines that moved.
 * 4. Seen twice: the change against noise and set-up. Seen once: against the upper limit on the other side.
 */
export function compareSides(input: CompareInput): Comparison {
  const { sources, settings } = input;
  const progress = input.onProgress ?? (() => {});
  const scale = commonScale(input.before, input.after);
  const moveSettings = { stableMove: 1e-6 * Math.hypot(settings.stableDriftPpm, axisPpm(input)) };
  const memory = input.memory?.isFor(sources, settings) === true ? input.memory : new SideMemory(sources, settings);
  const { largestMoveOf } = memory;

  progress(0, 'merging the files of each side');
  const before = memory.sideOf(scale.before, moveSettings.stableMove);
  const after = memory.sideOf(scale.after, moveSettings.stableMove);
  progress(0.4, 'matching lines');
  const matching = matchLines(before.lines, after.lines, largestMoveOf, moveSettings);
  const view: View = {
    ownIsBefore: true,
    own: before,
    other: after,
    match: matching.ofA,
    matchOfOther: matching.ofB,
    moves: matching.movesA,
    movesOfOther: matching.movesB,
    nearestOther: distanceToNearest(after.lines),
    nearestOwn: distanceToNearest(before.lines),
    largestMoveOf,
    settings: moveSettings,
  };
  for (const [i, j] of movedAlone(view)) {
    matching.ofA[i] = j;
    matching.ofB[j] = i;
  }

  progress(0.6, 'judging');
  const differences = settingDifferences(scale.before, scale.after, scale.unit);
  const repeatability = repeatabilityOf(before, after, settings);
  const doubts = doubtsOf(settings, repeatability, scale.unit, differences);
  partLinesFromHumps(before, after, matching.ofA, matching.ofB, doubts);
  // made where something was not seen: often nothing was missed
  let [afterLimits, beforeLimits]: (SideLimits | null)[] = [null, null];
  const limitsAfter = () => (afterLimits ??= new SideLimits(view, settings.limitConfidence, memory.limitTable));
  const limitsBefore = () =>
    (beforeLimits ??= new SideLimits(mirrored(view), settings.limitConfidence, memory.limitTable));

  const tracks: { atHz: number; track: Track }[] = [];
  const exercised = exercisedLookup(view, sources);
  const add = (i: number | null, j: number | null, judgement: Judgement) => {
    const identity = identityOf(before, i, after, j);
    tracks.push({
      atHz: i === null ? after.spurs[j!]!.frequencyHz : before.spurs[i]!.frequencyHz,
      track: {
        beforeSpur: i,
        afterSpur: j,
        ...judgement,
        shiftHz: i === null || j === null ? null : after.spurs[j]!.frequencyHz - before.spurs[i]!.frequencyHz,
        exercised: exercised(i, j, identity.source),
        ...identity,
      },
    });
  };
  const isWanted = (i: number) => input.onlyBefore === undefined || input.onlyBefore(before.spurs[i]!);
  matching.ofA.forEach((j, i) => {
    if (j >= 0 && isWanted(i)) add(i, j, judgeSeenTwice(...levelsOfPair(before, i, after, j), doubts));
  });
  const gone = judgeUnmatched(view, 'cleared', (i, reach) => {
    const limit = limitsAfter().of(i, reach);
    const lowerFloorDb = Math.min(before.spurs[i]!.floorDb, limit.floorDb);
    const allowed = allowedDb(input.bands ?? [], limit.expectedHz, lowerFloorDb, scale.unit.name);
    const judgement = judgeGone(levelOf(before, i), limit, allowed, isEdgeOfRaisedFloor(before, i, after), doubts);
    const mover = judgement.status === 'cleared' ? besideMovedTooth(view, i) : null;
    if (mover === null) return judgement;
    return {
      ...judgement,
      status: 'hidden' as const,
      atLeastDb: null,
      why: `Not seen after, but it stood within the resolution of a tooth of ${mover}, which has moved: what stood here may have moved along, so nothing is proven.`,
    };
  });
  const judgeComing = (j: number, reach: Reach): Judgement => {
    const cleared = wasClearedEarlier(after, j, input.clearedEarlier ?? [], moveSettings);
    const edge = isEdgeOfRaisedFloor(after, j, before);
    const judgement = judgeCome(levelOf(after, j), limitsBefore().of(j, reach), cleared, edge, doubts);
    if (judgement.status !== 'new' || !besideEarlierLine(mirrored(view), j)) return judgement;
    return {
      ...judgement,
      status: 'hidden' as const,
      why: 'Not seen at this place before, but a line stood so near that this one may have been part of it.',
    };
  };
  for (const [i, judgement] of gone) if (isWanted(i)) add(i, null, judgement);
  if (input.onlyBefore === undefined)
    for (const [j, judgement] of judgeUnmatched(mirrored(view), 'new', judgeComing)) add(null, j, judgement);
  tracks.sort((x, y) => x.atHz - y.atHz);
  const all = tracks.map(({ track }) => track);
  progress(1, 'done');
  return {
    tracks: all,
    sources: sourceChanges(before, after, all),
    warnings: [
      ...scale.warnings,
      ...differences.warnings,
      ...stateWarnings(before, 'before', namesSeen(after), sources),
      ...stateWarnings(after, 'after', namesSeen(before), sources),
      `set-up repeatability ${repeatability.oneDb.toFixed(1)} dB (one standard deviation) from ${repeatability.from}`,
    ],
    unit: scale.unit.name,
    levelsComparable: scale.unit.comparable,
    repeatabilityDb: repeatability.oneDb,
    repeatabilityFrom: repeatability.from,
    beforeSpurs: before.spurs,
    afterSpurs: after.spurs,
    beforeExplanations: before.explanations,
    afterExplanations: after.explanations,
  };
}

/** The worse frequency accuracy of either side: two axes may differ by it, and a spur's own uncertainty leaves it out. */
function axisPpm({ before, after }: CompareInput): number {
  return Math.max(
    ...[...before, ...after].map(
      ({ trace, triage }) => trace.settings.frequencyAccuracyPpm ?? triage.settings.frequencyAccuracyPpm,
    ),
  );
}

function namesSeen(side: Side): Set<string> {
  return new Set(side.lines.groups.map((group) => group.name).filter((name) => name !== null));
}
