import type { Comparison, Track, TrackStatus } from '../../../src-main/model/track.ts';
import type { AccuracyCase, Owner, TruthLine } from '../cases/case.ts';
import type { BeforeAfterCase } from '../cases/before-after-case.ts';
import { scoreSpurs } from './score-spurs.ts';

export interface StatusFault {
  readonly seed: number;
  readonly frequencyHz: number;
  readonly line: string;
  readonly expected: string;
  readonly said: string;
}

/** How well a comparison says what became of each line; sums, so that cases can be added. */
export interface ComparisonScore {
  /** Tracks of clear true lines whose status is certain from the truth; and of these, rightly said. */
  judged: number;
  right: number;
  /** Said to be cleared though the line still runs with more than a quarter of its power, or stands plainly to be seen. */
  falseCleared: number;
  /** Said to be new though it was there before at a level within 3 dB. */
  falseNew: number;
  /** Certain lines by what truly became of them: judged and right. */
  readonly byKind: Record<string, { judged: number; right: number }>;
  /** Lines seen on both sides with nothing done to them; said to be weaker or stronger. */
  unchanged: number;
  unchangedCalledChanged: number;
  /** Same lines: sum of squares of change over its stated sigma. */
  squaredPull: number;
  readonly faults: StatusFault[];
}

export function emptyComparisonScore(): ComparisonScore {
  return {
    judged: 0,
    right: 0,
    falseCleared: 0,
    falseNew: 0,
    byKind: {},
    unchanged: 0,
    unchangedCalledChanged: 0,
    squaredPull: 0,
    faults: [],
  };
}

/**
 * Compares the status of every track with the truth of both sides.
 *
 * A line is judged where it was clear and 10 dB over the floor on the side it was seen on and the truth admits one answer:
 * seen on both sides and within 1 dB: persists; 5 dB and more away: weaker or stronger; under the after floor by 3 dB and more
 * though unchanged: hidden; gone, and 16 dB and more over the after floor before: cleared (from 12 dB on: or weaker, where the
 * noise just there proves less than the 6 dB that the word takes); not there before and 12 dB over the
 * before floor: new. Anything between admits two answers and is not judged. A false `cleared` or `new` counts for every line.
 */
export function scoreComparison(subject: BeforeAfterCase, comparison: Comparison): ComparisonScore {
  const score = emptyComparisonScore();
  const before = subject.before[0]!;
  const after = subject.after[0]!;
  const beforeMatch = scoreSpurs(before, comparison.beforeSpurs);
  const afterMatch = scoreSpurs(after, comparison.afterSpurs);
  const afterByKey = byKey(after);
  const beforeByKey = byKey(before);
  const fault = (track: Track, frequencyHz: number, line: string, expected: string): void => {
    const cut =
      track.afterSpur === null ? '' : ` at ${(comparison.afterSpurs[track.afterSpur]!.frequencyHz / 1e6).toFixed(4)}`;
    score.faults.push({ seed: subject.seed, frequencyHz, line, expected, said: `${track.status}${cut}: ${track.why}` });
  };
  const judge = (
    track: Track,
    line: TruthLine,
    kind: string,
    accepted: readonly TrackStatus[],
    isSameLine: boolean,
  ): void => {
    const tally = (score.byKind[kind] ??= { judged: 0, right: 0 });
    score.judged++;
    tally.judged++;
    if (accepted.includes(track.status) && isSameLine) {
      score.right++;
      tally.right++;
    } else fault(track, line.frequencyHz, nameOf(line), `${kind}: ${accepted.join(' or ')}`);
  };

  for (const track of comparison.tracks) {
    if (track.beforeSpur !== null) {
      const index = beforeMatch.lineOf[track.beforeSpur]!;
      if (index === -1) continue;
      const line = before.lines[index]!;
      const next = afterByKey.get(keyOf(line));
      const nextIndex = next === undefined ? -1 : after.lines.indexOf(next);
      const isPlain = nextIndex !== -1 && afterMatch.surroundings[nextIndex]!.clear;
      if (track.status === 'cleared' && next !== undefined && (isPlain || next.levelDb > line.levelDb - 6)) {
        score.falseCleared++;
        fault(track, line.frequencyHz, nameOf(line), 'still there: never cleared');
      }
      if (!beforeMatch.surroundings[index]!.clear) continue;
      const room = line.levelDb - floorAt(after, next?.frequencyHz ?? line.frequencyHz);
      if (next === undefined) {
        // lines that now stand where this one stood cover it up: not judged
        if (deedOf(subject, line.owner) === 'gone' && room >= 12 && isEmptyPlace(after, line.frequencyHz))
          judge(track, line, 'gone', room >= 16 ? ['cleared'] : ['cleared', 'weaker'], true);
        continue;
      }
      const change = next.levelDb - line.levelDb;
      const isSame = track.afterSpur !== null && afterMatch.lineOf[track.afterSpur] === nextIndex;
      if (afterMatch.surroundings[nextIndex]!.clear && next.overFloorDb >= 10) {
        const kind = kindOf(subject, line);
        const repeatable = Math.abs(change) <= 1;
        // whatever the set-up's scatter did to it: the rate counts over all lines that nothing was done to
        if (deedOf(subject, line.owner) === 'nothing' && track.changeDb !== null && isSame) {
          score.unchanged++;
          score.squaredPull += (track.changeDb / track.changeSigmaDb!) ** 2;
          if (track.status !== 'persists') score.unchangedCalledChanged++;
        }
        if (repeatable) judge(track, line, kind, ['persists'], isSame);
        else if (change <= -6) judge(track, line, kind, ['weaker'], isSame);
        else if (change >= 6) judge(track, line, kind, ['stronger'], isSame);
      } else if (Math.abs(change) <= 1 && next.overFloorDb <= -3 && isEmptyPlace(after, next.frequencyHz))
        judge(track, line, 'under the raised floor', ['hidden'], true);
      continue;
    }
    const index = afterMatch.lineOf[track.afterSpur!]!;
    if (index === -1) continue;
    const line = after.lines[index]!;
    const earlier = beforeByKey.get(keyOf(line));
    if (track.status === 'new' && earlier !== undefined && Math.abs(earlier.levelDb - line.levelDb) < 3) {
      score.falseNew++;
      fault(track, line.frequencyHz, nameOf(line), 'was there before: never new');
    }
    const stood = line.levelDb - floorAt(before, line.frequencyHz);
    if (
      deedOf(subject, line.owner) === 'new' &&
      afterMatch.surroundings[index]!.clear &&
      stood >= 12 &&
      isEmptyPlace(before, line.frequencyHz)
    )
      judge(track, line, 'new comb', ['new'], true);
  }
  return score;
}

function keyOf({ owner, frequencyHz }: TruthLine): string {
  if (owner.kind === 'foreign') return `foreign ${frequencyHz.toFixed(1)}`;
  return `${owner.kind === 'source' ? owner.source : owner.comb} × ${owner.harmonic}`;
}

function nameOf(line: TruthLine): string {
  return `${keyOf(line)}, ${line.overFloorDb.toFixed(1)} dB over floor`;
}

function byKey(side: AccuracyCase): Map<string, TruthLine> {
  return new Map(side.lines.map((line) => [keyOf(line), line]));
}

function deedOf(subject: BeforeAfterCase, owner: Owner): string {
  if (owner.kind === 'foreign') return 'nothing';
  return subject.deeds.get(owner.kind === 'source' ? owner.source : owner.comb) ?? 'nothing';
}

function kindOf(subject: BeforeAfterCase, { owner, frequencyHz }: TruthLine): string {
  const deed = deedOf(subject, owner);
  if (deed !== 'nothing') return deed;
  const { raised } = subject;
  return raised !== null && frequencyHz > raised.lowHz && frequencyHz < raised.highHz
    ? 'nothing done, over a raised floor'
    : 'nothing done';
}

function floorAt(side: AccuracyCase, frequencyHz: number): number {
  const index = Math.round((frequencyHz - side.frequencyHz[0]!) / side.spacingHz);
  return side.noiseDb[Math.min(Math.max(index, 0), side.noiseDb.length - 1)]!;
}

/** Nothing stronger than the floor within five bandwidths. */
function isEmptyPlace(side: AccuracyCase, frequencyHz: number): boolean {
  return side.lines.every(
    (line) =>
      line.overFloorDb < -3 || Math.abs(line.frequencyHz - frequencyHz) > 5 * Math.max(side.rbwHz, side.spacingHz),
  );
}
