import type { CompareSettings } from '../../model/compare-settings.ts';
import type { TrackStatus } from '../../model/track.ts';
import { studentTwoSided } from '../numeric/student-quantile.ts';
import type { Repeatability } from './repeatability.ts';
import type { SideLimit } from './side-limit.ts';
import type { CommonUnit } from './side-trace.ts';

/** Everything that decides how much of a difference is believed. */
export interface Doubts {
  readonly comparable: boolean;
  /** The common unit, for what is said. */
  readonly unit: string;
  readonly limitConfidence: number;
  readonly clearedDropDb: number;
  readonly repeatability: Repeatability;
  /** Two-sided normal quantile of the rate of false changes, and the one-sided one of the confidence of limits. */
  readonly zChange: number;
  readonly zLimit: number;
  /** What stands in their place for the set-up where its repeatability is known from few repeats. */
  readonly tChange: number;
  readonly tLimit: number;
  readonly gainDoubtDb: number;
  /** What unlike calibration chains add, one standard deviation. */
  readonly chainSigmaDb: number;
  readonly dropDoubt: string | null;
  readonly riseDoubt: string | null;
}

export function doubtsOf(
  settings: CompareSettings,
  repeatability: Repeatability,
  unit: CommonUnit,
  differences: Pick<Doubts, 'gainDoubtDb' | 'chainSigmaDb' | 'dropDoubt' | 'riseDoubt'>,
): Doubts {
  const { limitConfidence, changeRate, clearedDropDb } = settings;
  const { gainDoubtDb, chainSigmaDb, dropDoubt, riseDoubt } = differences;
  const limitRate = 2 * (1 - limitConfidence);
  return {
    comparable: unit.comparable,
    unit: unit.name,
    limitConfidence,
    clearedDropDb,
    repeatability,
    zChange: studentTwoSided(changeRate, Infinity),
    zLimit: studentTwoSided(limitRate, Infinity),
    tChange: studentTwoSided(changeRate, repeatability.degrees),
    tLimit: studentTwoSided(limitRate, repeatability.degrees),
    gainDoubtDb,
    chainSigmaDb,
    dropDoubt,
    riseDoubt,
  };
}

export interface Level {
  readonly levelDb: number;
  readonly sigmaDb: number;
}

export interface Judgement {
  readonly status: TrackStatus;
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  readonly atLeastDb: number | null;
  readonly upperLimitDb: number | null;
  readonly why: string;
}

const NOTHING = { changeDb: null, changeSigmaDb: null, atLeastDb: null, upperLimitDb: null };
const NO_LEVELS = 'levels are not compared, as the units do not allow it';

/** A line seen on both sides: weaker or stronger only where the change is beyond what noise and set-up do at the stated rate. */
export function judgeSeenTwice(before: Level, after: Level, doubts: Doubts): Judgement {
  if (!doubts.comparable) return { ...NOTHING, status: 'persists', why: `Seen on both sides; ${NO_LEVELS}.` };
  const { repeatability, zChange, tChange, chainSigmaDb } = doubts;
  const changeDb = after.levelDb - before.levelDb;
  const { beforeDb, afterDb } = repeatability;
  const changeSigmaDb = Math.hypot(before.sigmaDb, after.sigmaDb, beforeDb, afterDb, chainSigmaDb);
  const noise = zChange * Math.hypot(before.sigmaDb, after.sigmaDb, chainSigmaDb);
  const setUp = tChange * Math.hypot(beforeDb, afterDb);
  const neededDb = Math.hypot(noise, setUp) + doubts.gainDoubtDb;
  const changed = { ...NOTHING, changeDb, changeSigmaDb };
  const said = `${signed(changeDb)} dB ± ${changeSigmaDb.toFixed(1)} dB`;
  if (Math.abs(changeDb) <= neededDb)
    return {
      ...changed,
      status: 'persists',
      why: `Seen on both sides; ${said} is within the ${neededDb.toFixed(1)} dB that noise and set-up may do.`,
    };
  const doubt = changeDb < 0 ? doubts.dropDoubt : doubts.riseDoubt;
  if (doubt !== null) return { ...changed, status: 'persists', why: `Seen on both sides; ${said}, but ${doubt}.` };
  return {
    ...changed,
    status: changeDb < 0 ? 'weaker' : 'stronger',
    why: `Seen on both sides; ${said} is beyond the ${neededDb.toFixed(1)} dB that noise and set-up may do.`,
  };
}

/** What is proven about a line seen on one side only: its level with its doubt, over the limit on the other side and the set-up's doubt. */
export function provenDb(seen: Level, limitDb: number, doubts: Doubts): number {
  const { zLimit, tLimit, repeatability, gainDoubtDb, chainSigmaDb } = doubts;
  const setUp = tLimit * Math.hypot(repeatability.beforeDb, repeatability.afterDb);
  return seen.levelDb - zLimit * Math.hypot(seen.sigmaDb, chainSigmaDb) - limitDb - setUp - gainDoubtDb;
}

/**
 * A line seen before and not after.
 *
 * `allowedDb` is the most that the line's band allows, common unit, null without one: a limit below it clears a line only if some
 * drop is proven as well, else a line that was always below the allowance would be cleared by looking less closely.
 */
export function judgeGone(
  before: Level,
  limit: SideLimit,
  allowedDb: number | null,
  edgeOfRaisedFloor: boolean,
  doubts: Doubts,
): Judgement {
  if (limit.limitDb === null)
    return { ...NOTHING, status: 'uncovered', why: `Not to be seen after: the after capture ${limit.uncoveredWhy}.` };
  if (!doubts.comparable)
    return { ...NOTHING, status: 'hidden', why: `Not seen after; ${NO_LEVELS}, so nothing is proven.` };
  const upperLimitDb = limit.limitDb;
  const atLeastDb = provenDb(before, upperLimitDb, doubts);
  const known = { ...NOTHING, atLeastDb, upperLimitDb };
  const said = `not above ${upperLimitDb.toFixed(1)} ${doubts.unit} at ${percent(doubts.limitConfidence)} confidence`;
  if (limit.mayBe >= 0) {
    // Never cleared while something that may be it stands plainly to be seen.
    const near = `Not seen at its place after, but an unnamed line near ${hertz(limit.atHz)} may be it, moved`;
    return atLeastDb > 0 && doubts.dropDoubt === null
      ? { ...known, status: 'weaker', why: `${near}; even so it fell by at least ${atLeastDb.toFixed(1)} dB.` }
      : { ...known, status: 'hidden', why: `${near}.` };
  }
  if (edgeOfRaisedFloor)
    return {
      ...known,
      status: 'hidden',
      why: 'Seen before at the edge of a floor that stood higher then: it may have been no more than its noise.',
    };
  if (atLeastDb > 0 && doubts.dropDoubt !== null)
    return { ...known, status: 'hidden', why: `Not seen after (${said}), but ${doubts.dropDoubt}.` };
  if (atLeastDb >= doubts.clearedDropDb)
    return {
      ...known,
      status: 'cleared',
      why: `Not seen after and ${said}: a drop of at least ${atLeastDb.toFixed(1)} dB.`,
    };
  if (atLeastDb > 0 && allowedDb !== null && upperLimitDb <= allowedDb)
    return {
      ...known,
      status: 'cleared',
      why: `Not seen after and ${said}, below the ${allowedDb.toFixed(1)} ${doubts.unit} its band allows.`,
    };
  if (atLeastDb > 0)
    return {
      ...known,
      status: 'weaker',
      why: `Not seen after and ${said}: a drop of at least ${atLeastDb.toFixed(1)} dB, too little to call it cleared.`,
    };
  return {
    ...known,
    status: 'hidden',
    why:
      limit.limitDb > limit.floorDb + 10
        ? `Not seen after, but something stronger at ${hertz(limit.atHz)} would hide it (${said}).`
        : `Not seen after, but the after capture would not show it (${said}).`,
  };
}

/** A line seen after and not before: new only where the before capture would have shown it. */
export function judgeCome(
  after: Level,
  limit: SideLimit,
  clearedEarlier: boolean,
  edgeOfRaisedFloor: boolean,
  doubts: Doubts,
): Judgement {
  if (clearedEarlier) return { ...NOTHING, status: 'back', why: 'Cleared by an earlier fix and seen again.' };
  if (limit.limitDb === null)
    return { ...NOTHING, status: 'uncovered', why: `Not to be seen before: the before capture ${limit.uncoveredWhy}.` };
  if (!doubts.comparable)
    return { ...NOTHING, status: 'hidden', why: `Not seen before; ${NO_LEVELS}, so it is not proven to be new.` };
  const riseDb = provenDb(after, limit.limitDb, doubts);
  if (limit.mayBe >= 0)
    return {
      ...NOTHING,
      status: 'hidden',
      why: `Not seen at this place before, but an unnamed line near ${hertz(limit.atHz)} may be it, moved.`,
    };
  if (edgeOfRaisedFloor)
    return {
      ...NOTHING,
      status: 'hidden',
      why: 'Seen after at the edge of a floor that rose: it may be no more than its noise.',
    };
  if (riseDb > 0 && doubts.riseDoubt !== null)
    return { ...NOTHING, status: 'hidden', why: `Not seen before, but ${doubts.riseDoubt}.` };
  if (riseDb > 0)
    return { ...NOTHING, status: 'new', why: `Not seen before, where it was at least ${riseDb.toFixed(1)} dB weaker.` };
  return {
    ...NOTHING,
    status: 'hidden',
    why: `Not seen before, but the before capture would not have shown it (limit ${limit.limitDb.toFixed(1)} ${doubts.unit}).`,
  };
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(1)}`;
}

function percent(share: number): string {
  return `${Number((100 * share).toPrecision(4))} %`;
}

function hertz(value: number): string {
  return value >= 1e6 ? `${(value / 1e6).toFixed(4)} MHz` : `${(value / 1e3).toFixed(3)} kHz`;
}
