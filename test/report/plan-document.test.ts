import { expect, test } from 'vitest';
import { planFrequencies } from '../../src-main/engine/plan.ts';
import { planChannels, planRisks } from '../../src-main/engine/try-plan.ts';
import { planDocument, type ReportedPlanning } from '../../src-main/report/plan-document.ts';
import { planTable } from '../../src-main/report/plan-table.ts';
import { aBand, aSource, adjustable, settings } from '../engine/planning/plan-lists.ts';

function reported(): ReportedPlanning {
  const sources = [
    aSource('XO', 8.192e6, { kind: 'clock', tolerancePpm: 20, maxHarmonic: 2 }),
    aSource('A', 3.1e5, { tolerancePpm: 20_000, ...adjustable(2.5e5, 4e5, 5e3) }),
    aSource('B', 4.4e5, { tolerancePpm: null, maxHarmonic: 5 }),
  ];
  const bands = [aBand(2e6, 6e6, 20e3, { name: 'low' })];
  const planning = planFrequencies({ sources, bands, settings: settings() });
  const inputs = [planning.today, ...planning.plans].map((plan) => {
    return { sources, bands, settings: settings(), chosen: plan.settings };
  });
  return { planning, risks: inputs.map(planRisks), channels: inputs.map(planChannels) };
}

/** Field names at every depth, as the fixed contract of the headless commands lists them. */
const PLAN = ['settings', 'changes', 'lost_weight', 'lost_channels', 'sources'];

test('the document has every field of the contract, no more than plain JSON, and its seed', () => {
  const document = planDocument(reported(), 99, []) as Record<string, never>;
  for (const field of ['schema', 'seed', 'bands', 'today', 'plans', 'bound_gap'])
    expect(document).toHaveProperty(field);
  expect(document['schema']).toBe('spurledger.plan/1');
  expect(document['seed']).toBe(1);
  expect(document['bands']).toEqual([{ name: 'low', channels: 200 }]);
  const { today, plans } = document as unknown as { today: object; plans: readonly object[] };
  expect(plans.length).toBeGreaterThan(0);
  for (const plan of [today, ...plans]) {
    for (const field of PLAN) expect(plan).toHaveProperty(field);
    expect(plan).toHaveProperty('settings.0', {
      source: 'XO',
      nominal_hz: 8.192e6,
      locked_to: null,
      lock_numerator: null,
      lock_denominator: null,
    });
    expect(Object.keys((plan as { sources: readonly object[] }).sources[0]!)).toEqual(
      expect.arrayContaining(['source', 'sole_channels', 'shared_channels']),
    );
  }
  expect(JSON.parse(JSON.stringify(document))).toEqual(document);
});

test('a refused input leaves the fields there, empty, with the problem', () => {
  const problem = { file: 'b.csv', place: 'p', found: 'f', expected: 'e', wayOut: 'w' };
  expect(planDocument(null, 7, [problem])).toMatchObject({
    seed: 7,
    today: null,
    plans: [],
    bound_gap: null,
    problems: [{ file: 'b.csv' }],
  });
});

test('the table says the answer first, then how sure it is, and what was assumed', () => {
  const text = planTable(reported());
  const [answer, proof, seed] = text.split('\n');
  expect(answer).toMatch(/^1 change would leave \d+ of 200 channels lost instead of \d+\.$/);
  expect(proof).toBe('Proven to be the least of all settings tried.');
  expect(seed).toBe('seed 1');
  expect(text).toMatch(/A +\S+ +XO x 1 \/ \d+/);
  expect(text).toContain('not levels');
  expect(text).toContain('No tolerance is stated for B');
});
