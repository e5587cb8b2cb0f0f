import { describe, expect, it } from 'vitest';
import { compareSides, type CompareInput } from '../../../src-main/engine/compare.ts';
import { SideMemory } from '../../../src-main/engine/tracking/side-memory.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../../../src-main/model/compare-settings.ts';
import type { TriagedTrace } from '../../../src-main/model/triaged-trace.ts';
import { handSource, handTriage } from './hand-triage.ts';
import { seededRandom } from './seeded-random.ts';

const SOURCES = [handSource('U1', 310e3), handSource('U2', 437e3), handSource('U3', 505e3)];

/** A capture in which each source moved by up to 2 %, some lines are missing and some are named by nobody. */
function capture(random: () => number): TriagedTrace {
  const lines = SOURCES.flatMap(({ designator, nominalHz }) => {
    const moved = nominalHz * (1 + 0.02 * (2 * random() - 1));
    return Array.from({ length: 20 }, (_, k) => ({
      hz: moved * (k + 4),
      db: -60 - 35 * random(),
      harmonic: k + 4,
      ...(random() < 0.8 ? { source: designator } : {}),
    })).filter(() => random() < 0.85);
  });
  return handTriage({ lines });
}

function inputs(): CompareInput[] {
  const random = seededRandom(611);
  const captures = Array.from({ length: 6 }, () => capture(random));
  return [
    [[0], [1]],
    [[1], [2]],
    [[0, 3], [4]],
    [[4], [0, 3]],
    [[0], [1]],
    [[3, 0], [5]],
  ].map(([before, after]) => ({
    before: before!.map((i) => captures[i]!),
    after: after!.map((i) => captures[i]!),
    sources: SOURCES,
    settings: DEFAULT_COMPARE_SETTINGS,
  }));
}

describe('SideMemory', () => {
  it('changes nothing that a comparison says, whatever was compared with it before', () => {
    const memory = new SideMemory(SOURCES, DEFAULT_COMPARE_SETTINGS);
    for (const input of inputs()) expect(compareSides({ ...input, memory })).toEqual(compareSides(input));
  });

  it('is left aside where it was made for other sources or settings', () => {
    const strict = { ...DEFAULT_COMPARE_SETTINGS, freeRunningDriftPpm: 10 };
    const memory = new SideMemory(SOURCES, strict);
    const [input] = inputs();
    compareSides({ ...input!, settings: strict, memory });
    expect(compareSides({ ...input!, memory })).toEqual(compareSides(input!));
    expect(memory.isFor([...SOURCES], strict)).toBe(false);
  });

  it('merges the same captures on the same scale once, in another order or on another scale anew', () => {
    const [input] = inputs();
    const memory = new SideMemory(SOURCES, DEFAULT_COMPARE_SETTINGS);
    const { before, after } = commonScale(input!.before, input!.after);
    const side = memory.sideOf(before, 1e-6);
    expect(memory.sideOf([...before], 1e-6)).toBe(side);
    expect(memory.sideOf(before, 2e-6)).not.toBe(side);
    expect(memory.sideOf([...before, ...after], 1e-6)).not.toBe(side);
    expect(memory.sideOf([{ ...before[0]!, offsetDb: 3 }], 1e-6)).not.toBe(side);
  });
});

describe('compareSides asked for some lines only', () => {
  it('says of them what it says of all, and nothing of others or of what came', () => {
    for (const input of inputs()) {
      const all = compareSides(input);
      const only = compareSides({ ...input, onlyBefore: ({ frequencyHz }) => frequencyHz < 4e6 });
      const asked = all.tracks.filter(
        ({ beforeSpur }) => beforeSpur !== null && all.beforeSpurs[beforeSpur]!.frequencyHz < 4e6,
      );
      expect(asked.length).toBeGreaterThan(5);
      expect(only.tracks).toEqual(asked);
      expect(only.beforeSpurs).toEqual(all.beforeSpurs);
    }
  });
});
