import { describe, expect, test } from 'vitest';
import { decisionStandings } from '../../../src-main/engine/evidence/decision-standing.ts';
import type { Cause, LineExplanation } from '../../../src-main/model/attribution.ts';
import type { Decision } from '../../../src-main/model/decision.ts';
import { handTriage } from '../tracking/hand-triage.ts';

const decision = (more: Partial<Decision>): Decision => ({
  id: 1,
  captureId: 1,
  frequencyHz: 5e6,
  kind: 'confirm',
  source: 'A',
  harmonic: 10,
  note: '',
  by: 'me',
  at: '2026-03-03T09:00:00Z',
  ...more,
});
const candidate = (source: string | null, harmonic: number, predictedHz = 5e6) => ({
  source,
  harmonic,
  predictedHz,
  predictedSigmaHz: 10,
  chance: 1e-6,
});
const said = (cause: Cause, ...candidates: ReturnType<typeof candidate>[]): LineExplanation => ({
  cause,
  candidates,
  why: '',
});
const spurs = handTriage({
  lines: [
    { hz: 5e6, db: -80 },
    { hz: 5.08e6, db: -85 },
    { hz: 8e6, db: -80 },
  ],
}).triage.spurs;
const standing = (made: Decision, first: LineExplanation, second = said('unexplained')) =>
  decisionStandings([made], spurs, [first, second, said('unexplained')])[0]!;

describe('decisionStandings(decisions, spurs, explanations)', () => {
  test.each([
    ['confirmed and still named', decision({}), said('source', candidate('A', 10)), 'agrees'],
    ['confirmed, another source named now', decision({}), said('source', candidate('B', 9)), 'evidence disagrees'],
    ['confirmed, another harmonic named now', decision({}), said('source', candidate('A', 11)), 'evidence disagrees'],
    ['confirmed, from outside now', decision({}), said('ambient', candidate('A', 10)), 'evidence disagrees'],
    ['confirmed, of the kit now', decision({}), said('instrument'), 'evidence disagrees'],
    ['confirmed, nothing fits now', decision({}), said('unexplained'), 'evidence disagrees'],
    [
      'reassigned to one of the ambiguous',
      decision({ kind: 'reassign', source: 'B', harmonic: null }),
      said('ambiguous', candidate('A', 10), candidate('B', 9)),
      'agrees',
    ],
    [
      'reassigned to none of the ambiguous',
      decision({ kind: 'reassign', source: 'C', harmonic: null }),
      said('ambiguous', candidate('A', 10), candidate('B', 9)),
      'evidence disagrees',
    ],
    [
      'reassigned by source alone',
      decision({ kind: 'reassign', harmonic: null }),
      said('source', candidate('A', 10)),
      'agrees',
    ],
    [
      'rejected and still nobody’s',
      decision({ kind: 'reject', source: null, harmonic: null }),
      said('unexplained'),
      'agrees',
    ],
    [
      'rejected, a source named now',
      decision({ kind: 'reject', source: null, harmonic: null }),
      said('source', candidate('A', 10)),
      'evidence disagrees',
    ],
    [
      'rejected, ambiguous now',
      decision({ kind: 'reject', source: null, harmonic: null }),
      said('ambiguous', candidate('A', 10)),
      'agrees',
    ],
    [
      'confirmed from outside and still so',
      decision({ source: null, harmonic: null, cause: 'ambient' }),
      said('ambient'),
      'agrees',
    ],
    [
      'confirmed from outside, a source named now',
      decision({ source: null, harmonic: null, cause: 'ambient' }),
      said('source', candidate('A', 10)),
      'evidence disagrees',
    ],
    [
      'confirmed before causes were kept',
      decision({ source: null, harmonic: null }),
      said('source', candidate('A', 10)),
      'agrees',
    ],
    ['a note', decision({ kind: 'note', source: null, harmonic: null }), said('ambient'), 'agrees'],
  ] as const)('%s: %3$s', (_, made, explanation, expected) => {
    const found = standing(made, explanation);
    expect(found.standing).toBe(expected);
    expect(found.sentence).toMatch(/^[A-Z].*\.$/);
  });

  test('follows source and harmonic to where the line has moved, before frequency', () => {
    const moved = standing(decision({}), said('source', candidate('B', 9)), said('source', candidate('A', 10, 5.08e6)));
    expect(moved).toMatchObject({ spur: 1, foundBy: 'source and harmonic', standing: 'agrees' });
  });

  test('but not farther than sources move', () => {
    const far = standing(decision({ frequencyHz: 4e6 }), said('source', candidate('A', 10)));
    expect(far).toMatchObject({ spur: null, foundBy: null, standing: 'no line' });
  });

  test('without that falls back to the nearest line within its width', () => {
    expect(standing(decision({ frequencyHz: 5.004e6 }), said('source', candidate('B', 9)))).toMatchObject({
      spur: 0,
      foundBy: 'frequency',
    });
    expect(standing(decision({ frequencyHz: 5.04e6 }), said('source', candidate('B', 9))).standing).toBe('no line');
  });

  test('says both sides in words', () => {
    expect(standing(decision({}), said('source', candidate('B', 9))).sentence).toBe(
      'Entered as A × 10, but the evidence of today says B × 9.',
    );
  });

  test('no decisions and no lines are fine', () => {
    expect(decisionStandings([], spurs, [])).toEqual([]);
    expect(decisionStandings([decision({})], [], [])[0]!.standing).toBe('no line');
  });
});
