import type { EvidenceOutcome } from '../../model/evidence.ts';
import type { EvidenceSettings } from '../../model/evidence-settings.ts';
import type { Sight, WeighedLine } from './sight.ts';

/** A line's level in another capture against what it should be there. */
export interface LevelFinding {
  readonly outcome: Extract<
    EvidenceOutcome,
    'same' | 'stronger' | 'weaker' | 'absent' | 'not-sensitive' | 'not-covered' | 'not-comparable' | 'undecided'
  >;
  /** There minus here, as measured; null where it was not seen there. */
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  readonly limitDb: number | null;
  /** Not seen: the proven drop below the expected level. */
  readonly atLeastDb: number | null;
  readonly why: string;
}

const NONE = { changeDb: null, changeSigmaDb: null, limitDb: null, atLeastDb: null } as const;

/** One standard deviation of the difference of two levels of one unchanged line: both uncertainties and twice the set-up's. */
export function differenceSigmaDb(hereSigmaDb: number, thereSigmaDb: number, repeatabilityDb: number): number {
  return Math.hypot(hereSigmaDb, thereSigmaDb, Math.SQRT2 * repeatabilityDb);
}

/**
 * Compares a line with what another capture shows in its place.
 *
 * `same` where the levels differ by no more than `sameSigma` standard deviations from the expected change; `absent` only where the
 * other capture would have shown a line `absentMarginDb` below the expected level, by its own limit and by its own threshold, and
 * by the uncertainty of the level here; else a line not seen is `not-sensitive` and says nothing.
 *
 * @param expectedDb change that the line would show if nothing but the settings differed (0; the attenuation for lines of the analyser)
 */
export function findLevel(
  line: WeighedLine,
  sight: Sight,
  expectedDb: number,
  settings: EvidenceSettings,
): LevelFinding {
  if (sight.is === 'unusable') return { ...NONE, outcome: sight.outcome, why: sight.why };
  const expectedLevelDb = line.levelDb + expectedDb;
  if (sight.is === 'unseen') {
    const sigmaDb = differenceSigmaDb(line.levelSigmaDb, 0, settings.repeatabilityDb);
    const worstDb = Math.max(sight.limitDb, sight.detectableDb);
    const marginDb = Math.max(settings.absentMarginDb, settings.sameSigma * sigmaDb);
    const isProven = worstDb <= expectedLevelDb - marginDb;
    return {
      ...NONE,
      limitDb: sight.limitDb,
      atLeastDb: isProven ? expectedLevelDb - worstDb : null,
      outcome: isProven ? 'absent' : 'not-sensitive',
      why: '',
    };
  }
  const changeDb = sight.levelDb - line.levelDb;
  const changeSigmaDb = differenceSigmaDb(line.levelSigmaDb, sight.levelSigmaDb, settings.repeatabilityDb);
  const found = { ...NONE, changeDb, changeSigmaDb };
  if (sight.otherShape)
    return {
      ...found,
      outcome: 'undecided',
      why: 'a line stands beside a broad hump: their levels are not of one kind',
    };
  const off = (changeDb - expectedDb) / changeSigmaDb;
  const outcome = Math.abs(off) <= settings.sameSigma ? 'same' : off > 0 ? 'stronger' : 'weaker';
  return { ...found, outcome, why: '' };
}

/**
 * How strong a line of another origin may still be under a line that shows the same level without it, 95 % one-sided, in decibels.
 *
 * The part that is not in the reference has at most the power by which the line here can exceed the reference: P here (1.645 σ up)
 * less P there. Two lines at one frequency add as powers on average over their phase.
 */
export function remainderLimitDb(levelDb: number, changeDb: number, changeSigmaDb: number): number {
  const largest = Math.max(-changeDb, 0) + 1.645 * changeSigmaDb;
  return levelDb + changeDb + 10 * Math.log10(10 ** (largest / 10) - 1);
}
