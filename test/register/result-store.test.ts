import SqliteDatabase from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { LineExplanation } from '../../src-main/model/attribution.ts';
import type { Floor } from '../../src-main/model/floor.ts';
import type { Spur } from '../../src-main/model/spur.ts';
import type { Triage } from '../../src-main/model/triage.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { codeOf, freshRegister, reopen, take } from './scene.ts';

function triage(spurs: readonly Spur[], explanations: readonly LineExplanation[], points = 50): Triage {
  return {
    settings: DEFAULT_TRIAGE_SETTINGS,
    floor: {
      meanDb: Float64Array.from({ length: points }, (_, i) => -100 + i / 7),
      thresholdDb: Float64Array.from({ length: points }, (_, i) => (i === 3 ? NaN : -90 + i / 7)),
      sigmaDb: 0.1,
      pairThresholdOverFloorDb: 8,
      looks: 16,
      neighbourCorrelation: 0.3,
      statistic: 'chi-square',
      averages: 16,
      pointSpreadDb: 1.1,
      windowPoints: 11,
      falseAlarmProbability: 1e-6,
      falseAlarmsExpected: 0.05,
      weakestDetectableOverFloorDb: Infinity,
      why: 'because',
      warnings: ['one'],
    } as unknown as Floor, // whatever fields it has are kept
    spurs,
    explanations,
    combs: [
      {
        source: 'U1',
        fundamentalHz: 3e5,
        fundamentalSigmaHz: 1,
        harmonicsSeen: [1, 2],
        harmonicsExpected: [1, 2, 3],
        chance: 1e-9,
        couldAlsoBe: [],
      },
    ],
    notSeen: [{ source: 'U2', reason: 'off' }],
    warnings: ['two'],
  };
}

const spur = (more: Partial<Spur> = {}): Spur => ({
  frequencyHz: 1e6,
  frequencySigmaHz: 10,
  levelDb: -80,
  levelSigmaDb: 0.5,
  floorDb: -100,
  overFloorDb: 20,
  widthHz: 9e3,
  shape: 'line',
  peakIndex: 3,
  firstIndex: 2,
  lastIndex: 4,
  crowded: false,
  ...more,
});

const owned = (source: string | null, cause: LineExplanation['cause']): LineExplanation => ({
  cause,
  candidates: [{ source, harmonic: 3, predictedHz: 9e5, predictedSigmaHz: 5, chance: 1e-9 }],
  why: 'so',
});

describe('results', () => {
  test('any triage comes back to the last bit, infinities and NaN too, over closing and opening', () => {
    const number = fc.double();
    const anySpur = fc.record({
      frequencyHz: number,
      frequencySigmaHz: number,
      levelDb: number,
      levelSigmaDb: number,
      floorDb: number,
      overFloorDb: number,
      widthHz: number,
      shape: fc.constantFrom('line' as const, 'hump' as const),
      peakIndex: fc.nat(1e7),
      firstIndex: fc.nat(1e7),
      lastIndex: fc.nat(1e7),
      crowded: fc.boolean(),
    });
    const explanation = fc.record({
      cause: fc.constantFrom<LineExplanation['cause']>('source', 'shared', 'unknown-comb', 'unexplained'),
      candidates: fc.array(
        fc.record({
          source: fc.option(fc.string()),
          harmonic: fc.integer({ min: 1, max: 1000 }),
          predictedHz: fc.double({ min: 1, noNaN: true }),
          predictedSigmaHz: fc.double({ min: 1e-9 }),
          chance: fc.double({ min: 1e-300, max: 1, noNaN: true }),
        }),
        { maxLength: 3 },
      ),
      why: fc.string(),
    });
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    const again = reopen(register);
    fc.assert(
      fc.property(fc.array(fc.tuple(anySpur, explanation), { maxLength: 8 }), fc.nat(20), (lines, points) => {
        // rows of spurs are for searching: a frequency or level that is no number has no place there
        const rows = lines.filter(([s]) => !Number.isNaN(s.frequencyHz) && !Number.isNaN(s.levelDb));
        const made = triage(
          rows.map(([s]) => s),
          rows.map(([, e]) => e),
          points,
        );
        register.results.put(kept.id, 0, 'basis', made);
        expect(again.results.get(kept.id, 0)).toEqual({ basis: 'basis', triage: made });
        expect(again.results.spurCount(kept.id, 0)).toBe(rows.length);
      }),
      { seed: 31, numRuns: 60 },
    );
  });

  test('a later one takes the place of the one before, other traces keep theirs, and none is null', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    expect(register.results.get(kept.id, 0)).toBeNull();
    expect(register.results.spurCount(kept.id, 0)).toBeNull();
    register.results.put(kept.id, 0, 'one', triage([spur(), spur()], [owned('U1', 'source'), owned(null, 'shared')]));
    register.results.put(kept.id, 1, 'other', triage([], []));
    register.results.put(kept.id, 0, 'two', triage([spur()], [owned('U1', 'source')]));
    expect(register.results.get(kept.id, 0)?.basis).toBe('two');
    expect(register.results.get(kept.id, 1)?.basis).toBe('other');
    expect([0, 1].map((index) => register.results.spurCount(kept.id, index))).toEqual([1, 0]);
  });

  test('the rows name a source only where one is meant', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    const causes = ['source', 'ambiguous', 'shared', 'unknown-comb'] as const;
    register.results.put(
      kept.id,
      0,
      'b',
      triage(
        causes.map(() => spur()),
        causes.map((cause) => owned('U1', cause)),
      ),
    );
    const db = new SqliteDatabase(register.path, { readonly: true });
    expect(db.prepare('SELECT source FROM spur ORDER BY place').pluck().all()).toEqual(['U1', null, null, null]);
    db.close();
  });

  test('are no part of the history, and a flipped bit in them is found', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    const entries = register.history(9, null).length;
    register.results.put(kept.id, 0, 'b', triage([spur()], [owned('U1', 'source')]));
    expect(register.history(9, null)).toHaveLength(entries);
    const db = new SqliteDatabase(register.path);
    const bytes = db.prepare('SELECT numbers FROM result').pluck().get() as Buffer;
    bytes[17]! ^= 4;
    db.prepare('UPDATE result SET numbers = ?').run(bytes);
    db.close();
    expect(codeOf(() => register.results.get(kept.id, 0))).toBe('damaged');
    expect(register.check()).toEqual([expect.stringMatching(/result of capture 1, trace 1/)]);
  });
});
