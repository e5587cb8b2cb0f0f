import { describe, expect, test } from 'vitest';
import type { Register } from '../../src-main/register/register.ts';
import { aDecision, aState, codeOf, condition, freshRegister, refusalOf, reopen, source, take } from './scene.ts';

const locked = (designator: string, to: string) => source(designator, { lock: { to, numerator: 1, denominator: 2 } });
const designators = (register: Register): string[] => register.sources.list().map((entry) => entry.source.designator);

describe('sources', () => {
  test('letters and places are given once and never again', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U2'), null);
    register.sources.remove('U2');
    expect(register.sources.put(source('U3'), null)).toMatchObject({ letter: 'C', order: 2 });
    register.undo();
    expect(register.sources.put(source('U4'), null).letter).toBe('D');
    expect(register.sources.put(source('U2'), null).letter).toBe('E');
  });

  test('an entry that contradicts itself or the rest is refused with its field', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    expect(refusalOf(() => register.sources.put(source('U1'), null)).problem.found).toMatch(/second time/);
    expect(refusalOf(() => register.sources.put(locked('U2', 'XO'), null)).problem.place).toBe('U2, lock');
    expect(codeOf(() => register.sources.put(source('U1', { nominalHz: -1 }), 'U1'))).toBe('refused');
    expect(codeOf(() => register.sources.put(source('U9'), 'U9'))).toBe('not-found');
    expect(codeOf(() => register.sources.remove('U9'))).toBe('not-found');
    expect(register.history(10, null)).toHaveLength(1);
  });

  test('a renamed source takes along locks, feeds, fixes, decisions and conditions, all in one step', () => {
    const register = freshRegister();
    register.sources.put(source('XO'), null);
    register.sources.put(source('A', { lock: { to: 'XO', numerator: 1, denominator: 2 }, fedBy: 'XO' }), null);
    const [s0, s1] = [register.states.put(null, aState('S0')), register.states.put(null, aState('S1'))];
    const fix = {
      fromStateId: s0.id,
      toStateId: s1.id,
      change: 'bead',
      sources: ['A', 'XO'],
      by: '',
      at: '',
      undoneAt: null,
      notes: '',
    };
    register.fixes.put(null, fix);
    const { capture: kept } = take(register, 'a.csv');
    register.captures.assign([kept.id], { condition: { sourcesOn: ['A'], sourcesOff: ['XO'] } });
    register.decisions.put(null, aDecision(kept.id, 'XO'));
    const names = (): unknown => [
      register.sources.list().map((entry) => [entry.source.designator, entry.source.fedBy, entry.source.lock?.to]),
      register.fixes.list()[0]!.sources,
      register.decisions.list()[0]!.source,
      register.captures.get(kept.id).condition,
    ];
    const before = names();
    const renamed = register.sources.put(source('CLK'), 'XO');
    expect(renamed).toMatchObject({ letter: 'A', order: 0 });
    expect(names()).toEqual([
      [
        ['CLK', null, undefined],
        ['A', 'CLK', 'CLK'],
      ],
      ['A', 'CLK'],
      'CLK',
      { ...condition('a.csv'), sourcesOn: ['A'], sourcesOff: ['CLK'] },
    ]);
    register.undo();
    expect(names()).toEqual(before);
  });

  test('one that feeds or clocks others, or that a fix or decision names, stays, and it is said why', () => {
    const register = freshRegister();
    for (const entry of [source('XO'), locked('A', 'XO'), source('B', { fedBy: 'A' }), source('C'), source('D')])
      register.sources.put(entry, null);
    const { capture: kept } = take(register, 'a.csv');
    register.decisions.put(null, aDecision(kept.id, 'C'));
    const [s0, s1] = [register.states.put(null, aState('S0')), register.states.put(null, aState('S1'))];
    const fix = { change: 'bead', sources: ['D'], by: '', at: '', undoneAt: null, notes: '' };
    register.fixes.put(null, { ...fix, fromStateId: s0.id, toStateId: s1.id });
    const reason = (designator: string): string => refusalOf(() => register.sources.remove(designator)).problem.found;
    expect(reason('XO')).toBe('a source that clocks A');
    expect(reason('A')).toBe('a source that feeds B');
    expect(reason('C')).toMatch(/decision of me/);
    expect(reason('D')).toMatch(/fix “bead”/);
    register.sources.remove('B');
    register.sources.remove('A');
    expect(designators(register)).toEqual(['XO', 'C', 'D']);
  });

  test('a change that started from an older revision than is there now is refused', () => {
    const register = freshRegister();
    const other = reopen(register);
    const { revision } = register.sources.put(source('U1'), null);
    other.sources.put(source('U1', { notes: 'theirs' }), 'U1', revision);
    expect(codeOf(() => register.sources.put(source('U1', { notes: 'mine' }), 'U1', revision))).toBe('stale');
    expect(register.sources.list()[0]!.source.notes).toBe('theirs');
  });

  test('revisionsOf(designator) tells all that happened to it, under its earlier names too', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U1', { nominalHz: 310e3 }), 'U1');
    register.sources.put(source('U7', { nominalHz: 310e3 }), 'U1');
    expect(register.sources.revisionsOf('U7').map((entry) => entry.summary)).toEqual([
      'added source U1',
      'changed source U1: nominalHz',
      'changed source U7: designator',
    ]);
  });

  test('basis() is another after every change, undo and redo included, and the same after none', () => {
    const register = freshRegister();
    const seen = [register.sources.basis()];
    const note = (): void => void seen.push(register.sources.basis());
    register.sources.put(source('U1'), null);
    note();
    register.sources.put(source('U1', { notes: 'x' }), 'U1');
    note();
    register.undo();
    note();
    register.redo();
    note();
    register.sources.remove('U1');
    note();
    expect(new Set(seen).size).toBe(seen.length);
    register.states.put(null, aState('S0'));
    expect(register.sources.basis()).toBe(seen.at(-1));
  });
});

describe('an import of sources', () => {
  test('is one step: masters come first in any order, and a bad entry leaves nothing behind', () => {
    const register = freshRegister();
    register.sources.import([source('A', { fedBy: 'BUS' }), source('BUS')], false);
    expect(designators(register)).toEqual(['A', 'BUS']);
    expect(codeOf(() => register.sources.import([source('C'), source('D', { fedBy: 'NOBODY' })], false))).toBe(
      'refused',
    );
    expect(designators(register)).toEqual(['A', 'BUS']);
    register.undo();
    expect(designators(register)).toEqual([]);
  });

  test('adds and changes; only with replaceAll does what is not in it go', () => {
    const register = freshRegister();
    register.sources.import([source('A'), source('B')], false);
    register.sources.import([source('B', { notes: 'new' }), source('C')], false);
    expect(designators(register)).toEqual(['A', 'B', 'C']);
    register.sources.import([source('C'), source('B', { notes: 'newer' })], true);
    expect(register.sources.list().map((entry) => [entry.source.designator, entry.letter, entry.source.notes])).toEqual(
      [
        ['B', 'B', 'newer'],
        ['C', 'C', ''],
      ],
    );
    register.undo();
    expect(designators(register)).toEqual(['A', 'B', 'C']);
  });

  test('may turn a lock round: the list is judged as a whole, not entry by entry', () => {
    const register = freshRegister();
    register.sources.import([source('A'), locked('B', 'A')], false);
    register.sources.import([locked('A', 'B'), source('B')], true);
    expect(register.sources.list()[0]!.source.lock?.to).toBe('B');
  });

  test('that would take away what another entry or a decision rests on is refused whole', () => {
    const register = freshRegister();
    register.sources.import([source('A'), locked('B', 'A')], false);
    expect(codeOf(() => register.sources.import([locked('B', 'A')], true))).toBe('refused');
    const { capture: kept } = take(register, 'a.csv');
    register.decisions.put(null, aDecision(kept.id, 'A'));
    expect(codeOf(() => register.sources.import([source('B')], true))).toBe('refused');
    expect(designators(register)).toEqual(['A', 'B']);
  });
});
