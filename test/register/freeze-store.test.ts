import { expect, test } from 'vitest';
import { freezeState } from '../../src-main/api/packet/freeze-state.ts';
import { smallPacket, smallRegister, VERSION } from '../api/packet/small-packet.ts';

const freeze = (of: ReturnType<typeof smallRegister>, stateId = of.stateIds[1]) =>
  freezeState(of.register, { stateId, note: '', by: 'A. Lead', now: of.now(), engineVersion: VERSION });
const FROZEN = /frozen revision|packet/;

test('what a freeze holds is read-only by any way: change, assignment, removal, undo, a later decision', () => {
  const of = smallRegister();
  const { register } = of;
  const [first] = register.captures.list();
  register.captures.assign([first!.id], { condition: { temperatureC: 21 } });
  const state = register.states.get(of.stateIds[1])!;
  const kept = freeze(of);
  expect(kept).toMatchObject({ revision: 1, stateName: 'S1', differs: [] });
  expect(() => register.captures.remove([first!.id])).toThrow(FROZEN);
  expect(() => register.captures.assign([first!.id], { condition: { temperatureC: 22 } })).toThrow(FROZEN);
  expect(() => register.states.put(state.id, { ...state, description: 'x' })).toThrow(FROZEN);
  expect(() =>
    register.decisions.put(null, {
      captureId: first!.id,
      frequencyHz: 1,
      kind: 'note',
      source: null,
      harmonic: null,
      note: '',
      by: '',
      at: '',
    }),
  ).toThrow('say it in the review');
  expect(() => register.sources.remove('U1')).toThrow(FROZEN);
  register.undo(); // the freeze itself, since no packet rests on it yet
  expect(register.freezes.list()).toEqual([]);
  register.captures.assign([first!.id], { condition: { temperatureC: 22 } });
  register.undo();
  register.undo();
  expect(register.captures.get(first!.id).condition.temperatureC).toBeNull();
  expect(register.check()).toEqual([]);
});

test('what comes later may be made: a state after, an event, a fix to it, a changed source', () => {
  const of = smallRegister();
  const { register } = of;
  freeze(of);
  const later = register.states.put(null, {
    name: 'S2',
    description: '',
    parentId: of.stateIds[1],
    at: '2026-03-01T00:00:00Z',
    configuration: [],
  });
  register.events.put(null, {
    kind: 'vibration',
    description: 'x',
    at: '2026-03-01T00:00:00Z',
    afterStateId: of.stateIds[1],
  });
  register.fixes.put(null, {
    fromStateId: of.stateIds[1],
    toStateId: later.id,
    change: 'c',
    sources: [],
    by: '',
    at: '2026-03-01T00:00:00Z',
    undoneAt: null,
    notes: '',
  });
  const { source } = register.sources.list()[0]!;
  register.sources.put({ ...source, notes: 'changed' }, source.designator);
  const second = freeze(of, later.id);
  expect(second.differs).toEqual([
    'state S2: added',
    'fix “c”: added',
    'event vibration of 2026-03-01: added',
    'source U1: changed source',
  ]);
});

test('a fix that was frozen can be said to have been taken out later, and nothing else of it changes', () => {
  const of = smallRegister();
  const { register } = of;
  const fix = register.fixes.put(null, {
    fromStateId: of.stateIds[0],
    toStateId: of.stateIds[1],
    change: 'c',
    sources: [],
    by: '',
    at: '2026-02-01T00:00:00Z',
    undoneAt: null,
    notes: '',
  });
  freeze(of);
  expect(() => register.fixes.put(fix.id, { ...fix, change: 'd' })).toThrow(FROZEN);
  register.fixes.put(fix.id, { ...fix, undoneAt: '2026-03-01T00:00:00Z' });
  expect(() => register.fixes.put(fix.id, { ...fix, undoneAt: null })).toThrow(FROZEN);
});

test('a revision taken up again lets its rows be changed, but nothing that a packet rests on be removed', () => {
  const of = smallPacket();
  const { register } = of;
  const [kept] = register.freezes.list();
  expect(() => register.undo()).toThrow(FROZEN);
  expect(
    register.freezes.reopen(kept!.id, { by: 'A. Lead', at: '2026-03-02T00:00:00Z', reason: 'wrong temperature' })
      .reopened,
  ).toMatchObject({ reason: 'wrong temperature' });
  expect(() => register.freezes.reopen(kept!.id, { by: 'B', at: '', reason: '' })).toThrow(
    'taken up again already by A. Lead',
  );
  const [first] = register.captures.list();
  register.captures.assign([first!.id], { condition: { temperatureC: 22 } });
  expect(() => register.captures.remove([first!.id])).toThrow(FROZEN);
  expect(() => register.packets.remove(1)).toThrow(/handed out|on record/);
  const second = freeze(of);
  expect(second).toMatchObject({ revision: 2, differs: ['capture first.csv: changed condition'] });
  expect(register.freezes.contents(kept!.id)).not.toBe(register.freezes.contents(second.id));
  expect(register.check()).toEqual([]);
});

test('a clock that runs behind the register is told of, and nothing is frozen', () => {
  const of = smallRegister();
  expect(() =>
    freezeState(of.register, {
      stateId: of.stateIds[1],
      note: '',
      by: '',
      now: new Date('2001-01-01'),
      engineVersion: VERSION,
    }),
  ).toThrow(/clock of this machine says 2001.*last changed at 2026/);
  expect(of.register.freezes.list()).toEqual([]);
});

test('freezing again with nothing changed is refused; a draft needs no freeze', () => {
  const of = smallRegister();
  freeze(of);
  expect(() => freeze(of)).toThrow('nothing has changed since');
});
