import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  changeability,
  clockedFrom,
  fedFrom,
  goingOff,
  lockChain,
  resolvedFrequency,
} from '../../src-main/model/source-tree.ts';
import { source } from '../register/scene-data.ts';

const locked = (designator: string, to: string, numerator: number, denominator: number) =>
  source(designator, { lock: { to, numerator, denominator } });

describe('fedFrom(designator, sources)', () => {
  const sources = [
    source('B', { fedBy: 'A' }),
    source('BUS'),
    source('A', { fedBy: 'BUS' }),
    source('C'),
    source('D', { fedBy: 'C' }),
  ];

  test('takes along the children and theirs, whatever the order of the list, and nothing else', () => {
    expect(fedFrom('BUS', sources)).toEqual(['B', 'A']);
    expect(fedFrom('A', sources)).toEqual(['B']);
    expect(fedFrom('B', sources)).toEqual([]);
    expect(fedFrom('nobody', sources)).toEqual([]);
  });

  test('goingOff(designators, sources) is all of them with their children, each once; a name that is not there is passed over', () => {
    expect(goingOff(['BUS', 'A', 'D', 'nobody'], sources)).toEqual(['B', 'BUS', 'A', 'D']);
    expect(goingOff([], sources)).toEqual([]);
  });

  test('ends on a circle', () => {
    expect(fedFrom('X', [source('X', { fedBy: 'Y' }), source('Y', { fedBy: 'X' })])).toEqual(['Y']);
  });
});

describe('resolvedFrequency(source, sources)', () => {
  test('a 10 MHz oscillator divided by 4 and multiplied by 3/5 gives 1.5 MHz, in lowest terms', () => {
    const sources = [source('XO', { nominalHz: 10e6 }), locked('PLL', 'XO', 1, 4), locked('U1', 'PLL', 3, 5)];
    expect(resolvedFrequency(sources[2]!, sources)).toEqual({
      frequencyHz: 1.5e6,
      root: 'XO',
      numerator: 3,
      denominator: 20,
    });
    expect(lockChain(sources[2]!, sources).map((s) => s.designator)).toEqual(['U1', 'PLL', 'XO']);
    expect(clockedFrom('XO', sources)).toEqual(['PLL', 'U1']);
    expect(clockedFrom('U1', sources)).toEqual([]);
  });

  test('a free source runs at its own nominal', () => {
    expect(resolvedFrequency(source('U1'), [source('U1')])).toMatchObject({ frequencyHz: 300e3, root: 'U1' });
  });

  test('a circle and a master that is not there give nothing', () => {
    const circle = [locked('A', 'B', 1, 2), locked('B', 'A', 2, 1)];
    expect(resolvedFrequency(circle[0]!, circle)).toBeNull();
    expect(resolvedFrequency(locked('A', 'gone', 1, 2), [])).toBeNull();
  });

  test('along any chain it is the product of the ratios, taken one by one', () => {
    const ratio = fc.record({ n: fc.integer({ min: 1, max: 50 }), d: fc.integer({ min: 1, max: 50 }) });
    fc.assert(
      fc.property(fc.array(ratio, { minLength: 1, maxLength: 5 }), (ratios) => {
        const sources = [source('S0', { nominalHz: 10e6 })];
        let slow = 10e6;
        for (const [i, { n, d }] of ratios.entries()) {
          sources.push(locked(`S${i + 1}`, `S${i}`, n, d));
          slow = (slow * n) / d;
        }
        const resolved = resolvedFrequency(sources.at(-1)!, sources)!;
        expect(Math.abs(resolved.frequencyHz / slow - 1)).toBeLessThan(1e-14);
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

describe('changeability(source)', () => {
  const adjust = { lowHz: 2e5, highHz: 4e5, stepHz: null };
  test.each([
    ['a range to choose from', source('U', { adjust }), { can: true, by: 'adjustment' }],
    ['a lock of ours', locked('U', 'XO', 1, 2), { can: true, by: 'ratio' }],
    ['a range, though it is the host’s', source('U', { owner: 'host', adjust }), { can: true, by: 'adjustment' }],
  ])('%s can be changed', (_, entry, answer) => expect(changeability(entry)).toEqual(answer));

  test.each([
    ['the host vehicle', source('U', { owner: 'host' }), /host vehicle/],
    ['the facility, though locked', { ...locked('U', 'XO', 1, 2), owner: 'facility' as const }, /facility/],
    ['us, without a range', source('U'), /no range/],
  ])('what belongs to %s cannot, and it is said why', (_, entry, why) => {
    const answer = changeability(entry);
    expect(answer.can).toBe(false);
    if (!answer.can) expect(answer.why).toMatch(why);
  });
});
