import { describe, expect, test } from 'vitest';
import { checkSource, checkSources } from '../../src-main/model/check-source.ts';
import type { Source } from '../../src-main/model/source.ts';
import { source } from '../register/scene-data.ts';

describe('checkSource(source, others)', () => {
  test('a sound entry has no problem', () => {
    const xo = source('XO', { kind: 'clock', nominalHz: 10e6 });
    const entry = source('U1', {
      lock: { to: 'XO', numerator: 1, denominator: 32 },
      fedBy: 'XO',
      duty: 0.5,
      riseS: 20e-9,
      maxHarmonic: 40,
      tolerancePpm: 1e6,
      adjust: { lowHz: 2e5, highHz: 3e5, stepHz: 1e5 },
    });
    expect(checkSource(entry, [xo])).toEqual([]);
  });

  test.each<[Partial<Source>, keyof Source]>([
    [{ designator: '  ' }, 'designator'],
    [{ designator: 'U 1' }, 'designator'],
    [{ designator: 'XO' }, 'designator'],
    [{ nominalHz: 0 }, 'nominalHz'],
    [{ nominalHz: -1 }, 'nominalHz'],
    [{ nominalHz: NaN }, 'nominalHz'],
    [{ nominalHz: Infinity }, 'nominalHz'],
    [{ tolerancePpm: 1e6 + 1 }, 'tolerancePpm'],
    [{ tolerancePpm: NaN }, 'tolerancePpm'],
    [{ driftPpmPerK: Infinity }, 'driftPpmPerK'],
    [{ spreadPpm: -1 }, 'spreadPpm'],
    [{ duty: 1.01 }, 'duty'],
    [{ riseS: -1e-9 }, 'riseS'],
    [{ maxHarmonic: 0 }, 'maxHarmonic'],
    [{ maxHarmonic: 1.5 }, 'maxHarmonic'],
    [{ lock: { to: 'XO', numerator: 1, denominator: 0 } }, 'lock'],
    [{ lock: { to: 'XO', numerator: 1.5, denominator: 1 } }, 'lock'],
    [{ lock: { to: 'nobody', numerator: 1, denominator: 1 } }, 'lock'],
    [{ lock: { to: 'U1', numerator: 1, denominator: 1 } }, 'lock'],
    [{ fedBy: 'nobody' }, 'fedBy'],
    [{ fedBy: 'U1' }, 'fedBy'],
    [{ adjust: { lowHz: 0, highHz: 1, stepHz: null } }, 'adjust'],
    [{ adjust: { lowHz: 2, highHz: 1, stepHz: null } }, 'adjust'],
    [{ adjust: { lowHz: 1, highHz: 2, stepHz: 3 } }, 'adjust'],
    [{ adjust: { lowHz: 1, highHz: 2, stepHz: 0 } }, 'adjust'],
    [{ adjust: { lowHz: 1, highHz: NaN, stepHz: null } }, 'adjust'],
  ])('%j has one problem, in its field, with a way out', (change, field) => {
    const problems = checkSource(source('U1', change), [source('XO')]);
    expect(problems.map((problem) => problem.field)).toEqual([field]);
    expect(problems[0]!.wayOut).not.toBe('');
  });

  test('a circle of locks through others is named from this entry on', () => {
    const tied = (designator: string, to: string) => source(designator, { lock: { to, numerator: 1, denominator: 1 } });
    const [problem] = checkSource(tied('A', 'B'), [tied('B', 'C'), tied('C', 'A')]);
    expect(problem!.found).toBe('a circle: A locked to B locked to C locked to A');
    // a circle among others is theirs, not this entry's
    expect(checkSource(tied('D', 'B'), [tied('B', 'C'), tied('C', 'B')])).toEqual([]);
  });
});

describe('checkSources(sources)', () => {
  test('says of each problem which entry it is, the later of two with one name', () => {
    const list = [source('A'), source('B', { fedBy: 'nobody' }), source('A'), source('C', { nominalHz: 0 })];
    expect(checkSources(list).map(({ index, field }) => [index, field])).toEqual([
      [1, 'fedBy'],
      [2, 'designator'],
      [3, 'nominalHz'],
    ]);
    expect(checkSources([])).toEqual([]);
  });

  test('for lists without repeated names it is checkSource of each against the others', () => {
    const tied = (designator: string, to: string, fedBy: string | null) =>
      source(designator, { lock: { to, numerator: 1, denominator: 1 }, fedBy });
    const list = [tied('A', 'B', null), tied('B', 'C', 'D'), tied('C', 'A', 'A'), source('D', { fedBy: 'B', duty: 2 })];
    const slow = list.flatMap((entry, index) =>
      checkSource(
        entry,
        list.filter((other) => other !== entry),
      ).map((problem) => ({ ...problem, index })),
    );
    expect(checkSources(list)).toEqual(slow);
    expect(slow.length).toBe(6);
  });
});
