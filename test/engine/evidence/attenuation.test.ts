import { describe, expect, test } from 'vitest';
import { isCompensated, judgeAttenuation, originsOf } from '../../../src-main/engine/evidence/attenuation.ts';
import { attenuationStep } from '../../../src-main/engine/evidence/attenuation-step.ts';
import type { Sight, WeighedLine } from '../../../src-main/engine/evidence/sight.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../../src-main/model/evidence-settings.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';

const LINE: WeighedLine = {
  frequencyHz: 5e6,
  frequencySigmaHz: 50,
  levelDb: -70,
  levelSigmaDb: 0.2,
  humpWidthHz: null,
};
const seen = (changeDb: number): Sight => ({
  is: 'seen',
  spur: 0,
  frequencyHz: 5e6,
  levelDb: LINE.levelDb + changeDb,
  levelSigmaDb: 0.2,
  otherShape: false,
});
const judge = (sight: Sight, stepDb: number, compensated: boolean) =>
  judgeAttenuation(LINE, sight, { stepDb, compensated }, DEFAULT_EVIDENCE_SETTINGS);

/**
 * What a weakly non-linear mixer shows, computed from its transfer and not from the table: y = x + a₂x² + a₃x³ on a line of amplitude A
 * gives A, a₂A²/2 at twice and a₃A³/4 at three times the frequency (angle-sum identities). A residual is added behind it.
 */
function shownDb(inputDb: number, attenuationDb: number, compensated: boolean) {
  const amplitude = 10 ** ((inputDb - attenuationDb) / 20);
  const add = compensated ? attenuationDb : 0;
  const db = (x: number) => 20 * Math.log10(x) + add;
  return {
    real: db(amplitude),
    second: db((0.1 * amplitude ** 2) / 2),
    third: db((0.05 * amplitude ** 3) / 4),
    residual: db(1e-4),
  };
}

describe('judgeAttenuation(line, sight, step, settings)', () => {
  test.each([
    [true, 10],
    [false, 10],
    [true, -10],
    [false, -6],
    [true, 20],
  ])('finds the origin that a power series and a residual show (corrected %s, step %s dB)', (compensated, stepDb) => {
    const from = shownDb(-10, 0, compensated);
    const to = shownDb(-10, stepDb, compensated);
    const outcome = (kind: keyof typeof from) => judge(seen(to[kind] - from[kind]), stepDb, compensated);
    expect(outcome('real')).toMatchObject({ outcome: 'real', order: null });
    expect(outcome('residual')).toMatchObject({ outcome: 'residual', order: null });
    expect(outcome('second')).toMatchObject({ outcome: 'overload', order: 2 });
    expect(outcome('third')).toMatchObject({ outcome: 'overload', order: 3 });
  });

  test('the same fall means different things: 10 dB is a product of order 2 with levels corrected, a real line without', () => {
    expect(judge(seen(-10), 10, true).outcome).toBe('overload');
    expect(judge(seen(-10), 10, false).outcome).toBe('real');
    expect(judge(seen(0), 10, true).outcome).toBe('real');
    expect(judge(seen(0), 10, false).outcome).toBe('residual');
  });

  test('a step too small for the doubt of the levels is undecided and says what fits', () => {
    // σ = √(2·0.2² + 2) = 1.44 dB: at 2 dB attenuation several origins lie within 2σ of any change
    const small = judge(seen(0), 2, true);
    expect(small.outcome).toBe('undecided');
    expect(small.fits.length).toBeGreaterThan(1);
  });

  test('a change between two origins is undecided: two lines in one, or a level that changed by itself', () => {
    expect(judge(seen(-5), 10, true)).toMatchObject({ outcome: 'undecided', fits: [] });
  });

  test('a line not seen any more is overload where an arriving line would have stayed, and nothing where it may be hidden', () => {
    const unseen = (limitDb: number): Sight => ({ is: 'unseen', limitDb, detectableDb: limitDb });
    // expected: real −70, order 2 −90, order 3 −110; limit −85
    expect(judge(unseen(-85), 20, true)).toMatchObject({ outcome: 'overload' });
    expect(judge(unseen(-71), 20, true).outcome).toBe('not-sensitive');
    // not corrected: real at −90 may hide under −85
    expect(judge(unseen(-85), 20, false).outcome).toBe('not-sensitive');
    expect(judge(unseen(-140), 10, true).outcome).toBe('undecided');
  });

  test('what does not compare is passed on', () => {
    expect(judge({ is: 'unusable', outcome: 'not-covered', why: 'x' }, 10, true).outcome).toBe('not-covered');
  });
});

describe('originsOf(step, highestOrder)', () => {
  test('origins stay apart by at least the step, whatever is corrected', () => {
    for (const compensated of [true, false])
      for (const stepDb of [3, 10, -20]) {
        const expected = originsOf({ stepDb, compensated }, 5).map((origin) => origin.expectedDb);
        for (const [i, a] of expected.entries())
          for (const b of expected.slice(i + 1))
            expect(Math.abs(a - b)).toBeGreaterThanOrEqual(Math.abs(stepDb) - 1e-9);
      }
  });

  test('correction adds the step to every origin', () => {
    const raw = originsOf({ stepDb: 10, compensated: false }, 4);
    const corrected = originsOf({ stepDb: 10, compensated: true }, 4);
    raw.forEach((origin, i) => expect(corrected[i]!.expectedDb - origin.expectedDb).toBe(10));
  });
});

describe('isCompensated(evidence)', () => {
  const lines = (changeDb: number, isNamed = false) => Array.from({ length: 8 }, () => ({ changeDb, isNamed }));
  const each = (...changes: number[]) => changes.map((changeDb) => ({ changeDb, isNamed: false }));
  test.each([
    ['stated', { stated: true, floorChangeDb: 0, strongest: lines(0) }, true],
    ['stated, with no line to check by', { stated: false, floorChangeDb: 10, strongest: [] }, false],
    [
      'stated as corrected, but the strongest lines fell',
      { stated: true, floorChangeDb: 0, strongest: lines(-10) },
      null,
    ],
    [
      'stated as not corrected, but teeth of sources stay',
      { stated: false, floorChangeDb: 0, strongest: lines(0, true) },
      null,
    ],
    [
      'stated as not corrected, nameless lines stay: residuals',
      { stated: false, floorChangeDb: 0, strongest: lines(0) },
      false,
    ],
    ['the floor rose', { stated: null, floorChangeDb: 9.8, strongest: lines(0.3) }, true],
    ['the floor rose and there are no lines', { stated: null, floorChangeDb: 9.8, strongest: [] }, true],
    ['strong lines fell on a floor that stayed', { stated: null, floorChangeDb: 0.1, strongest: lines(-10.2) }, false],
    ['all fell', { stated: null, floorChangeDb: -9.9, strongest: lines(-10.2) }, false],
    ['nothing changed', { stated: null, floorChangeDb: 0, strongest: lines(0) }, null],
    [
      'nothing changed, but the lines are teeth of sources',
      { stated: null, floorChangeDb: 0, strongest: lines(0, true) },
      true,
    ],
    ['floor and lines contradict', { stated: null, floorChangeDb: 10, strongest: lines(-10) }, null],
    ['strong lines disagree', { stated: null, floorChangeDb: 5, strongest: each(0, -10, 0, -10, 3, 3, 3, 3) }, null],
    [
      'one residual among strong lines that fell',
      { stated: null, floorChangeDb: 0, strongest: each(0, -10, -10, -10, ...Array<number>(12).fill(-10)) },
      false,
    ],
    ['two lines only', { stated: null, floorChangeDb: 0, strongest: each(-10, -10) }, null],
    ['strong lines stay, floor halfway', { stated: null, floorChangeDb: 5, strongest: lines(0) }, true],
  ] as const)('%s', (_, evidence, compensated) => {
    expect(isCompensated({ stepDb: 10, ...evidence }).compensated).toBe(compensated);
  });
});

describe('attenuationStep(here, there)', () => {
  const of = (
    attenuationDb: number | null,
    fileDb: number | null = null,
    attenuator?: 'internal' | 'external' | 'external-corrected',
  ) => ({
    settings: { ...UNKNOWN_SETTINGS, attenuationDb: fileDb },
    condition: { ...silentCondition('a'), attenuationDb, ...(attenuator === undefined ? {} : { attenuator }) },
  });
  test('is the difference of what holds, the row over the file; corrected only if somebody said so', () => {
    expect(attenuationStep(of(null, 10), of(20, 10))).toEqual({ stepDb: 10, stated: null, assumedZero: false });
    expect(attenuationStep(of(0), of(10, null, 'internal'))).toEqual({ stepDb: 10, stated: true, assumedZero: false });
  });

  test('a pad counts by itself, beside what the analyser has set', () => {
    expect(attenuationStep(of(null, 10), of(6, 10, 'external'))).toEqual({
      stepDb: 6,
      stated: false,
      assumedZero: false,
    });
    expect(attenuationStep(of(20, 0, 'external-corrected'), of(null, 0))).toEqual({
      stepDb: -20,
      stated: true,
      assumedZero: false,
    });
  });

  test('one side unsaid is taken as none and says so; no difference is no step', () => {
    expect(attenuationStep(of(null), of(10))).toEqual({ stepDb: 10, stated: null, assumedZero: true });
    expect(attenuationStep(of(10), of(10))).toBeNull();
    expect(attenuationStep(of(null), of(null))).toBeNull();
  });
});
