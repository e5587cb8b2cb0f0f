import { expect, test } from 'vitest';
import { planFrequencies } from '../../src-main/engine/plan.ts';
import { tryPlan } from '../../src-main/engine/try-plan.ts';
import { nodeWords, planSentence, proofWords, runsBy } from '../../src-renderer/state/plan-words.ts';
import { aBand, aSource, adjustable, settings } from '../engine/planning/plan-lists.ts';

const sources = [
  aSource('A', 310e3, adjustable(250e3, 400e3, 1e3)),
  aSource('B', 430e3, adjustable(400e3, 500e3, 1e3)),
  aSource('C', 520e3, adjustable(500e3, 600e3, 1e3)),
];
const bands = [aBand(2e6, 6e6, 20e3)];
const tried = (...hz: readonly number[]) =>
  tryPlan({
    sources,
    bands,
    settings: settings(),
    chosen: hz.map((nominalHz, i) => ({
      source: 'ABC'[i]!,
      nominalHz,
      lockedTo: null,
      lockNumerator: null,
      lockDenominator: null,
    })),
  }).plan;

test('the sentence names at most two changes, counts the rest, and says what it brings', () => {
  const [today, one, three] = [tried(), tried(399e3), tried(399e3, 401e3, 599e3)];
  expect(planSentence(today, today, null)).toBe(`Today ${today.lostChannels} of 200 channels may be lost.`);
  expect(planSentence(today, one, null)).toBe(
    `Set A to 399 kHz: ${one.lostChannels} of 200 channels may be lost instead of ${today.lostChannels}.`,
  );
  expect(planSentence(today, three, null)).toMatch(/^Set A to 399 kHz, set B to 401 kHz, and 1 more change: /);
  expect(planSentence(one, today, null)).toContain('Today');
});

test('where nothing helps the sentence says so, and that only locks would', () => {
  const fixed = [aSource('A', 310e3, { tolerancePpm: 50_000 })];
  const planning = planFrequencies({ sources: fixed, bands, settings: settings() });
  expect(planSentence(planning.today, planning.today, planning)).toMatch(
    /^Nothing that may be changed brings a channel back: \d+ of 200 may be lost\. 1 source blurs .* only locking/,
  );
});

test('a proof is claimed only where there is one, and a gap is never rounded down', () => {
  const planning = planFrequencies({ sources, bands, settings: settings() });
  expect(proofWords(planning, false)).toContain('proven');
  const open = { ...planning, isExact: false, lowerBoundWeight: 10.9, boundGap: 0.0312 };
  expect(proofWords(open, false)).toMatch(/^No setting can lose less than 10, .* may be 3\.2 % too high\.$/);
  expect(proofWords(open, true)).toMatch(/^First plans\. /);
});

test('how a source runs is said in a few characters', () => {
  const lock = { source: 'A', nominalHz: 1, lockedTo: 'XO', lockNumerator: 1, lockDenominator: 42 };
  expect(runsBy(lock)).toBe('XO ÷ 42');
  expect(runsBy({ ...lock, lockNumerator: 3 })).toBe('XO × 3 ÷ 42');
  expect(runsBy({ ...lock, lockedTo: null })).toBe('free');
});

test('at the node the envelope is said for the first harmonic in a band, and that it is not what couples', () => {
  const wave = { duty: 0.5, riseS: 20e-9 };
  // check-values §6.1: 1 MHz, 50 %, 20 ns: 130.06 dBµV at n = 1, 116.08 at n = 5
  const source = aSource('A', 1e6, wave);
  expect(nodeWords(source, 1e6, [aBand(4.5e6, 6e6, 20e3)])).toMatch(
    /harmonic 5 stands 14 dB under .* what couples is not known/,
  );
  expect(nodeWords(source, 1e6, [aBand(4.2e6, 4.8e6, 20e3)])).toBeNull();
  expect(nodeWords(aSource('A', 1e6), 1e6, [aBand(4.5e6, 6e6, 20e3)])).toBeNull();
});
