import { describe, expect, test } from 'vitest';
import { destinations, menusOf, parseFrequency } from '../../src-renderer/state/go-to.ts';
import { bound } from '../../src-renderer/state/keys.svelte.ts';
import { SourceNames } from '../../src-renderer/state/source-names.ts';
import { spurRows } from '../../src-renderer/state/spur-rows.ts';
import { FakeClient } from './fake-client.ts';

const client = new FakeClient();
const { triage } = client.scene(1);
const names = new SourceNames(client.sources, triage.combs);
const rows = spurRows(triage, names, [], [], 'dBm');
const go = (text: string) => destinations(text, rows, client.sources, names, { lowHz: 1e6, highHz: 20e6 });

describe('parseFrequency', () => {
  test.each([
    ['12.56', 12.56e6],
    ['12,56 MHz', 12.56e6],
    ['450k', 450e3],
    ['1 200 kHz', 1.2e6],
    ['7 hz', 7],
  ])('“%s” is %f Hz', (text, hz) => {
    expect(parseFrequency(text, 1e6)).toBeCloseTo(hz, 6);
  });
  test('words and tags are no frequency', () => {
    expect(parseFrequency('A24', 1e6)).toBeNull();
    expect(parseFrequency('', 1e6)).toBeNull();
  });
});

describe('destinations', () => {
  test('a tag leads to its spur first', () => {
    expect(go('a24')[0]).toMatchObject({ kind: 'spur', row: { tag: 'A24' } });
  });
  test('a number may be a spur or a frequency, and both are offered', () => {
    const kinds = go('12').map((destination) => destination.kind);
    expect(kinds).toContain('spur');
    expect(kinds).toContain('frequency');
  });
  test('a frequency outside the capture is not offered', () => {
    expect(go('900 MHz').some((destination) => destination.kind === 'frequency')).toBe(false);
  });
  test('a source is found by name or letter; nothing is found for nothing', () => {
    expect(go('bus')[0]).toMatchObject({ kind: 'source', designator: 'BUS-ISO' });
    expect(go('  ')).toEqual([]);
  });
  test('the list stays short and holds nothing twice', () => {
    const labels = go('a').map((destination) => destination.label);
    expect(labels.length).toBeLessThanOrEqual(12);
    expect(new Set(labels).size).toBe(labels.length);
  });
  test('what can be done is found by the beginnings of its words, and done', () => {
    let done = '';
    const command = (label: string) => ({ keys: [], show: ['X'], label, run: () => (done = label), group: 'Bench' });
    const commands = [command('lay the capture before over it'), command('undo'), command('')];
    const found = destinations('lay ov', [], [], new SourceNames([], []), { lowHz: 1e6, highHz: 2e7 }, commands);
    expect(found.map(({ label, more }) => [label, more])).toEqual([['Lay the capture before over it', 'X']]);
    if (found[0]?.kind === 'command') found[0].run();
    expect(done).toBe('lay the capture before over it');
  });
  test('what cannot be done now is found, says when it can, and is not done', () => {
    let undone = 0;
    const undo = bound('undo', () => void undone++, { can: () => false, isMac: false });
    const [found] = destinations('undo', [], [], new SourceNames([], []), { lowHz: 1e6, highHz: 2e7 }, [undo]);
    expect(found).toMatchObject({ label: 'Undo', more: 'when there is a step to take back' });
    if (found?.kind === 'command') found.run();
    expect(undone).toBe(0);
  });
});

describe('menusOf', () => {
  test('commands stand in the order of the table; keys of one screen alone are left out', () => {
    const commands = [
      bound('help', () => undefined),
      bound('captures.open', () => undefined),
      bound('registers', () => undefined),
      { keys: ['ArrowUp'], show: ['↑'], label: 'row up', run: () => undefined, group: 'Bench' },
    ];
    const menus = menusOf(commands);
    expect(menus.map(({ menu, commands: own }) => [menu, own.map(({ id }) => id)])).toEqual([
      ['File', ['registers', 'captures.open']],
      ['Help', ['help']],
    ]);
  });
});
