import { describe, expect, test } from 'vitest';
import { combRows, teethIn } from '../../src-renderer/plots/comb-rows.ts';
import { SourceNames } from '../../src-renderer/state/source-names.ts';
import { FakeClient } from './fake-client.ts';

const client = new FakeClient();
const { triage } = client.scene(1);
const names = new SourceNames(client.sources, triage.combs);
const rows = combRows(client.sources, triage, names);
const row = (name: string) => rows.find((candidate) => candidate.look.name === name)!;

describe('combRows', () => {
  test('has a row for every source in the order of the register, then one for every comb with no owner', () => {
    expect(rows.map((r) => r.look.letter)).toEqual(['A', 'B', 'C', 'D', 'E', 'F', 'u1']);
  });

  test('a measured source stands at its fitted fundamental, another at its nominal', () => {
    expect(row('5V-MAIN').fundamentalHz).toBe(409.6e3);
    expect(row('XO').fundamentalHz).toBe(16.384e6);
    expect(row('XO').isMeasured).toBe(false);
  });

  test('without a triage a locked source stands where its master puts it', () => {
    const [a, ...rest] = client.sources;
    const locked = [{ ...a!, source: { ...a!.source, lock: { to: 'XO', numerator: 1, denominator: 40 } } }, ...rest];
    expect(combRows(locked, null, new SourceNames(locked, []))[0]!.fundamentalHz).toBeCloseTo(409.6e3, 6);
  });
});

describe('teethIn', () => {
  test('draws one tooth per harmonic in view, filled where a line is, hollow where none is, half where it is shared', () => {
    const view = teethIn(row('BUS-ISO'), 12.4e6, 12.7e6, 1000, 1);
    expect(view.teeth.map((tooth) => [tooth.harmonic, tooth.state])).toEqual([[50, 'shared']]);
    const wide = teethIn(row('BUS-ISO'), 1e6, 3e6, 1000, 1);
    expect(wide.teeth.map((tooth) => tooth.harmonic)).toEqual([4, 5, 6, 7, 8, 9, 10, 11]);
    expect(wide.teeth.find((tooth) => tooth.harmonic === 5)!.state).toBe('empty');
    expect(wide.teeth.find((tooth) => tooth.harmonic === 4)!.state).toBe('seen');
  });

  test('teeth under seven pixels apart turn to dots and say to zoom in, the seen ones stay', () => {
    const view = teethIn(row('BUS-ISO'), 1e6, 20e6, 400, 1);
    expect(view.isDots).toBe(true);
    expect(view.words).toContain('zoom in');
    expect(view.teeth.every((tooth) => tooth.state === 'seen')).toBe(true);
  });

  test('an unmeasured source whose teeth run into each other predicts nothing there', () => {
    const free = { ...row('XO'), fundamentalHz: 60e3, halfHzPerHarmonic: 6e3 };
    const view = teethIn(free, 9e6, 9.2e6, 1000, 1);
    expect(view.isDots).toBe(true);
    expect(view.teeth).toHaveLength(0);
  });

  test('a source that is not seen gets its reason and never hollow teeth', () => {
    const view = teethIn(row('VALVE-DRV'), 1e6, 2e6, 1000, 1);
    expect(view.words).toContain('switched off');
    expect(view.teeth).toHaveLength(0);
  });

  test('where no tooth is in view it says where the next one is', () => {
    expect(teethIn(row('XO'), 1e6, 2e6, 1000, 1).words).toContain('E1 at 16.384 MHz');
  });

  test('a highest harmonic ends the row', () => {
    const limited = { ...row('5V-MAIN'), maxHarmonic: 5 };
    expect(teethIn(limited, 1e6, 4e6, 1000, 1).teeth.map((t) => t.harmonic)).toEqual([3, 4, 5]);
    expect(teethIn(limited, 5e6, 8e6, 1000, 1).words).toContain('no tooth expected above A5');
  });
});
