import { describe, expect, test } from 'vitest';
import { decidedExplanations, decidedTriage } from '../../../src-main/engine/evidence/decided-explanations.ts';
import type { Decision } from '../../../src-main/model/decision.ts';
import { handSource, handTriage } from '../tracking/hand-triage.ts';
import { seededRandom } from '../tracking/seeded-random.ts';

const SOURCES = [handSource('U1', 500e3), handSource('U2', 700e3)];
const TRIAGED = handTriage({
  lines: [
    { hz: 2.5e6, db: -80, source: 'U1', harmonic: 5 },
    { hz: 3e6, db: -85, source: 'U1', harmonic: 6 },
    { hz: 4.2e6, db: -80 },
  ],
});
const { spurs, explanations } = TRIAGED.triage;

function decision(more: Partial<Decision>): Decision {
  return {
    id: 1,
    captureId: 1,
    frequencyHz: 4.2e6,
    kind: 'reassign',
    source: 'U2',
    harmonic: 6,
    note: '',
    by: 'A. Hart',
    at: '2026-03-03T09:00:00Z',
    ...more,
  };
}
const decided = (...decisions: Decision[]) => decidedExplanations(decisions, spurs, explanations, SOURCES);

describe('decidedExplanations(decisions, spurs, explanations, sources)', () => {
  test('a reassigned line is its decided source’s, and says by whom and what the tool says', () => {
    const { explanations: after, warnings } = decided(decision({ note: 'seen with the near-field probe' }));
    expect(after[2]).toMatchObject({
      cause: 'source',
      candidates: [{ source: 'U2', harmonic: 6, predictedHz: 4.2e6, chance: 1 }],
      decidedBy: 'A. Hart',
    });
    expect(after[2]!.why).toBe(
      'U2 × 6, decided by A. Hart on 2026-03-03: seen with the near-field probe. The tool says: ',
    );
    expect(after.slice(0, 2)).toEqual(explanations.slice(0, 2));
    expect(warnings).toEqual([]);
  });

  test('without a harmonic it is the nearest one of the source', () => {
    expect(decided(decision({ harmonic: null })).explanations[2]!.candidates[0]).toMatchObject({ harmonic: 6 });
    const high = [handSource('U2', 9e6)];
    const [one] = decidedExplanations([decision({ harmonic: null })], spurs, explanations, high).explanations.slice(2);
    expect(one!.candidates[0]!.harmonic).toBe(1);
  });

  test('a rejected line, and one reassigned to nobody, is unexplained', () => {
    for (const kind of ['reject', 'reassign'] as const)
      expect(decided(decision({ kind, frequencyHz: 3e6, source: null, harmonic: null })).explanations[1]).toMatchObject(
        {
          cause: 'unexplained',
          candidates: [],
          decidedBy: 'A. Hart',
        },
      );
  });

  test('a confirmed line keeps the tool’s own candidate and its chance', () => {
    const { explanations: after } = decided(
      decision({ kind: 'confirm', frequencyHz: 2.5e6, source: 'U1', harmonic: 5 }),
    );
    expect(after[0]).toMatchObject({ cause: 'source', candidates: explanations[0]!.candidates, decidedBy: 'A. Hart' });
  });

  test('a line confirmed as from outside stays so where nothing is said of it today, but never where the evidence names a source', () => {
    const outside = decision({ kind: 'confirm', source: null, harmonic: null, cause: 'ambient' });
    expect(decided(outside).explanations[2]).toMatchObject({ cause: 'ambient', candidates: [] });
    const { explanations: after, warnings } = decided({ ...outside, frequencyHz: 3e6 });
    expect(after).toEqual(explanations);
    expect(warnings).toEqual([
      'the decision of A. Hart at 3.000000 MHz (confirm) changes nothing: it confirmed what the evidence of today no longer says',
    ]);
  });

  test('of several on one line the latest counts, in whatever order they are listed; a note never', () => {
    const random = seededRandom(90);
    const all = [
      decision({ id: 1, at: '2026-03-01T00:00:00Z', source: 'U1', harmonic: 8 }),
      decision({ id: 2, at: '2026-03-02T00:00:00Z', kind: 'reject', source: null, harmonic: null }),
      decision({ id: 3, at: '2026-03-04T00:00:00Z', source: 'U2', harmonic: 6 }),
      decision({ id: 4, at: '2026-03-05T00:00:00Z', kind: 'note', source: null, harmonic: null }),
    ];
    const once = decided(...all);
    expect(once.explanations[2]!.candidates).toMatchObject([{ source: 'U2', harmonic: 6 }]);
    for (let i = 0; i < 20; i++) {
      const shuffled = all.map((one) => ({ one, at: random() })).sort((a, b) => a.at - b.at);
      expect(decided(...shuffled.map(({ one }) => one))).toEqual(once);
    }
  });

  test('a decision whose line is gone, or whose source the register does not have, changes nothing and says so', () => {
    const gone = decided(decision({ frequencyHz: 9e6 }));
    expect(gone.explanations).toEqual(explanations);
    expect(gone.warnings).toEqual([expect.stringContaining('no line stands there any more')]);
    const unknown = decided(decision({ source: 'U9' }));
    expect(unknown.explanations).toEqual(explanations);
    expect(unknown.warnings).toEqual([expect.stringContaining('no source U9 in the register')]);
  });

  test('no decision leaves everything as it is', () => {
    expect(decided()).toEqual({ explanations, warnings: [] });
    expect(decidedTriage(TRIAGED, [], SOURCES)).toBe(TRIAGED);
  });
});

test('decidedTriage: a comb of which decisions left no line is claimed no more, one that keeps a line is', () => {
  const reject = (id: number, frequencyHz: number) =>
    decision({ id, frequencyHz, kind: 'reject', source: null, harmonic: null });
  const names = (...decisions: Decision[]) =>
    decidedTriage(TRIAGED, decisions, SOURCES).triage.combs.map(({ source }) => source);
  expect(names(reject(1, 2.5e6))).toEqual(['U1']);
  expect(names(reject(1, 2.5e6), reject(2, 3e6))).toEqual([]);
});
