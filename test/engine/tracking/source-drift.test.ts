import { describe, expect, it } from 'vitest';
import { DEFAULT_COMPARE_SETTINGS } from '../../../src-main/model/compare-settings.ts';
import { clockedBy, largestMove, offWithChildren } from '../../../src-main/engine/tracking/source-drift.ts';
import { handSource } from './hand-triage.ts';

const crystal = handSource('Y1', 10e6, { kind: 'clock', tolerancePpm: 50 });
const locked = handSource('U1', 500e3, { lock: { to: 'U2', numerator: 1, denominator: 2 } });
const between = handSource('U2', 1e6, { lock: { to: 'Y1', numerator: 1, denominator: 10 } });
const free = handSource('U3', 300e3);
const all = [crystal, locked, between, free];

describe('largestMove', () => {
  it('is the whole tolerance of a crystal, and of whatever is locked to it however indirectly', () => {
    expect(largestMove('Y1', all, DEFAULT_COMPARE_SETTINGS)).toBeCloseTo(100e-6, 12);
    expect(largestMove('U1', all, DEFAULT_COMPARE_SETTINGS)).toBeCloseTo(100e-6, 12);
  });

  it('is the free-running drift for a free source, a nameless one and one the register lost', () => {
    for (const name of ['U3', null, 'gone'])
      expect(largestMove(name, all, DEFAULT_COMPARE_SETTINGS)).toBeCloseTo(0.025, 12);
  });

  it('never falls below what every line may move', () => {
    const exact = handSource('X', 1e6, { kind: 'clock', tolerancePpm: 0 });
    expect(largestMove('X', [exact], DEFAULT_COMPARE_SETTINGS)).toBeCloseTo(60e-6, 12);
  });
});

describe('clockedBy', () => {
  it('ends in a cycle of locks', () => {
    const a = handSource('A', 1e6, { lock: { to: 'B', numerator: 1, denominator: 1 } });
    const b = handSource('B', 1e6, { lock: { to: 'A', numerator: 1, denominator: 1 } });
    expect(['A', 'B']).toContain(clockedBy(a, [a, b]).designator);
  });
});

describe('offWithChildren', () => {
  it('takes along what is fed, and what that feeds', () => {
    const tree = [
      handSource('T', 90e3),
      handSource('A', 1e6, { fedBy: 'T' }),
      handSource('B', 2e6, { fedBy: 'A' }),
      free,
    ];
    expect([...offWithChildren(['T'], tree)].sort()).toEqual(['A', 'B', 'T']);
  });
});
