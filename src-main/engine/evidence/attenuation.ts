import type { EvidenceSettings } from '../../model/evidence-settings.ts';
import { differenceSigmaDb } from './level-finding.ts';
import type { Sight, WeighedLine } from './sight.ts';

/** What an attenuator change does to the levels shown. `compensated`: the analyser corrects its levels for it. */
export interface AttenuationStep {
  /** Attenuation there minus attenuation here, dB; positive where the other capture has more. */
  readonly stepDb: number;
  readonly compensated: boolean;
}

export interface AttenuationFinding {
  readonly outcome: 'real' | 'residual' | 'overload' | 'undecided' | 'not-sensitive' | 'not-covered' | 'not-comparable';
  /** Order of the overload product, where one alone fits. */
  readonly order: number | null;
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  readonly limitDb: number | null;
  /** Everything that fits, in words. */
  readonly fits: readonly string[];
  readonly why: string;
}

/** One origin and the change of level it would show. */
interface Origin {
  readonly outcome: 'real' | 'residual' | 'overload';
  readonly order: number | null;
  readonly expectedDb: number;
  readonly words: string;
}

/**
 * The change of the level shown by each possible origin of a line when the attenuation grows by A:
 *
 *   origin                              at the mixer   shown, corrected for A   shown, not corrected
 *   arrives at the input                −A             0                        −A
 *   made in the analyser (residual)      0             +A                        0
 *   overload product of order m         −mA            −(m−1)A                  −mA
 *
 * A product of order m goes with the m-th power of what drives it (power series of a weakly non-linear stage; elementary).
 * Products made before the attenuator (in a preamplifier outside) behave as arriving lines.
 */
export function originsOf({ stepDb, compensated }: AttenuationStep, highestOrder: number): readonly Origin[] {
  const shown = (atMixerDb: number) => atMixerDb + (compensated ? stepDb : 0);
  const origins: Origin[] = [
    { outcome: 'real', order: null, expectedDb: shown(-stepDb), words: 'a line that arrives at the input' },
    { outcome: 'residual', order: null, expectedDb: shown(0), words: 'a line made in the analyser itself' },
  ];
  for (let order = 2; order <= highestOrder; order++)
    origins.push({
      outcome: 'overload',
      order,
      expectedDb: shown(-order * stepDb),
      words: `an overload product of order ${order}`,
    });
  return origins.map((origin) => ({ ...origin, expectedDb: origin.expectedDb + 0 }));
}

/**
 * Which origin fits the change of a line's level between two attenuations.
 *
 * One origin within `sameSigma` standard deviations of the change: it. Several: undecided. None: undecided too, something else
 * changed or the line is made of two. Not seen with more attenuation: every origin that could have fallen below the limit fits; if
 * arriving lines cannot have, it is an overload product.
 */
export function judgeAttenuation(
  line: WeighedLine,
  sight: Sight,
  step: AttenuationStep,
  settings: EvidenceSettings,
): AttenuationFinding {
  const none = { order: null, changeDb: null, changeSigmaDb: null, limitDb: null, fits: [] };
  if (sight.is === 'unusable') return { ...none, outcome: sight.outcome, why: sight.why };
  const origins = originsOf(step, settings.highestOrder);
  if (sight.is === 'unseen') return judgeUnseen(line, sight, origins, settings);

  const changeDb = sight.levelDb - line.levelDb;
  const changeSigmaDb = differenceSigmaDb(line.levelSigmaDb, sight.levelSigmaDb, settings.repeatabilityDb);
  const found = { ...none, changeDb, changeSigmaDb };
  if (sight.otherShape)
    return {
      ...found,
      outcome: 'undecided',
      why: 'a line stands beside a broad hump: their levels are not of one kind',
    };
  const fitting = origins.filter(
    (origin) => Math.abs(changeDb - origin.expectedDb) <= settings.sameSigma * changeSigmaDb,
  );
  const fits = fitting.map((origin) => origin.words);
  const [only] = fitting;
  if (only === undefined)
    return {
      ...found,
      outcome: 'undecided',
      why: 'that fits neither a line that arrives at the input nor one made in the analyser: two lines in one, or its level changed by itself',
    };
  const outcomes = new Set(fitting.map((origin) => origin.outcome));
  if (outcomes.size > 1) return { ...found, fits, outcome: 'undecided', why: `that fits ${fits.join(' and ')}` };
  return { ...found, fits, outcome: only.outcome, order: fitting.length === 1 ? only.order : null, why: '' };
}

function judgeUnseen(
  line: WeighedLine,
  { limitDb, detectableDb }: Extract<Sight, { is: 'unseen' }>,
  origins: readonly Origin[],
  settings: EvidenceSettings,
): AttenuationFinding {
  const sigmaDb = differenceSigmaDb(line.levelSigmaDb, 0, settings.repeatabilityDb);
  const shownFromDb = Math.max(limitDb, detectableDb) + settings.sameSigma * sigmaDb;
  const fitting = origins.filter((origin) => line.levelDb + origin.expectedDb <= shownFromDb);
  const fits = fitting.map((origin) => origin.words);
  const base = { order: null, changeDb: null, changeSigmaDb: null, limitDb, fits };
  const outcomes = new Set(fitting.map((origin) => origin.outcome));
  if (outcomes.size > 1)
    return { ...base, outcome: 'not-sensitive', why: `not seen there, which fits ${fits.join(' and ')}` };
  const [only] = fitting;
  if (only === undefined)
    return {
      ...base,
      outcome: 'undecided',
      why: 'not seen there, though every kind of line should have been: it went by itself',
    };
  return { ...base, outcome: only.outcome, order: fitting.length === 1 ? only.order : null, why: '' };
}

/** How one of the strongest lines changed between two attenuations, there minus here. */
export interface StrongLine {
  readonly changeDb: number;
  /** True for a tooth of a registered source's comb: the analyser makes no such lines by itself. */
  readonly isNamed: boolean;
}

/** What of an attenuation step was stated, and what the captures themselves show. */
export interface StepEvidence {
  readonly stepDb: number;
  /** True / false: stated. Null: nobody said. */
  readonly stated: boolean | null;
  /** Median change of the floor, there minus here, in the same bandwidth; null where it cannot be told. */
  readonly floorChangeDb: number | null;
  /** Lines seen in both, strongest first. */
  readonly strongest: readonly StrongLine[];
}

/** A floor or line that moved by this part of the step, and no less, moved with it. A choice of this tool: halfway is undecided. */
const WITH_STEP = 0.7;
const NOT_WITH_STEP = 0.3;
/** Fewest strong lines that decide, and the share of them that must agree: a residual may be among them. */
const STRONG_LINES = 3;
const STRONG_SHARE = 0.75;

/**
 * Are the levels corrected for the attenuation? As stated, unless the strongest lines show that it cannot be; else from the captures:
 * the noise of the analyser rises by A where they are and stays where they are not (noise that arrives at the input stays, or falls by A);
 * the strongest lines cannot be overload products, which are weaker than what makes them, so they stay where levels are corrected and
 * fall by A where not, unless they are made in the analyser, which teeth of a registered comb are not. Floor and lines must not
 * disagree; else null: undecided.
 */
export function isCompensated({ stepDb, stated, floorChangeDb, strongest }: StepEvidence): {
  readonly compensated: boolean | null;
  readonly from: string;
} {
  const part = (changeDb: number) => changeDb / stepDb;
  const strong = strongest.slice(0, Math.max(STRONG_LINES, Math.ceil(strongest.length / 4)));
  const most = (list: readonly StrongLine[], moved: number) =>
    list.length >= STRONG_LINES &&
    list.filter(({ changeDb }) => Math.abs(part(changeDb) - moved) <= NOT_WITH_STEP).length >=
      STRONG_SHARE * list.length;
  const named = strongest.filter(({ isNamed }) => isNamed);
  const strongNamed = named.slice(0, Math.max(STRONG_LINES, Math.ceil(named.length / 4)));
  const fell = most(strong, -1);
  const namedStayed = most(strongNamed, 0);
  const stayed = namedStayed || most(strong, 0);

  if (stated === true && fell)
    return {
      compensated: null,
      from: 'levels are stated to be corrected, but the strongest lines fell by the attenuation',
    };
  if (stated === false && namedStayed)
    return {
      compensated: null,
      from: 'levels are stated not to be corrected, but the strongest lines of sources stay',
    };
  if (stated !== null) return { compensated: stated, from: 'as stated' };

  const lines = fell ? false : stayed ? true : null;
  const floor =
    floorChangeDb === null
      ? null
      : part(floorChangeDb) >= WITH_STEP
        ? true
        : part(floorChangeDb) <= -WITH_STEP
          ? false
          : null;
  if (floor !== null && lines !== null && floor !== lines)
    return { compensated: null, from: 'the floor and the strongest lines contradict each other' };
  if (floor !== null)
    return {
      compensated: floor,
      from: floor ? 'the floor rose with the attenuation' : 'the floor fell with the attenuation',
    };
  if (lines === null) return { compensated: null, from: 'neither floor nor strongest lines tell' };
  // nameless lines that stay on a floor that stays may as well all be the analyser's own, with levels not corrected
  if (lines && !namedStayed && floorChangeDb !== null && Math.abs(part(floorChangeDb)) <= NOT_WITH_STEP)
    return {
      compensated: null,
      from: 'floor and strongest lines both stay: levels corrected and noise that arrives, or lines of the analyser itself',
    };
  return {
    compensated: lines,
    from: lines ? 'the strongest lines stay' : 'the strongest lines fell by the attenuation',
  };
}
