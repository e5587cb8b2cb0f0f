import { describe, expect, test } from 'vitest';
import { UNKNOWN_SETTINGS, type Capture } from '../../src-main/model/capture.ts';
import { sha256 } from '../../src-main/register/blobs.ts';
import {
  aDecision,
  aPoint,
  aState,
  capture,
  codeOf,
  condition,
  freshRegister,
  refusalOf,
  reopen,
  take,
} from './scene.ts';

describe('captures', () => {
  test('keep traces of any number and length with units, settings and blanks, and the bytes of the file', () => {
    const register = freshRegister();
    const bytes = new TextEncoder().encode('f,a,b\n1,2,3\n');
    const settings = { ...UNKNOWN_SETTINGS, rbwHz: 9e3, averages: 16, averaging: 'power' as const, takenAt: 'Tuesday' };
    const traces = [
      {
        label: 'a',
        frequencyHz: Float64Array.of(1e6, 1.0000001e6, 2e9),
        level: Float64Array.of(-90.123456789, NaN, -0),
        unit: { name: 'dBµV', scale: 'decibel', perHz: false },
        settings,
      },
      {
        label: '',
        frequencyHz: Float64Array.of(1, 2),
        level: Float64Array.of(1e-300, 5),
        unit: { name: 'V²/Hz', scale: 'power', perHz: true },
        settings: UNKNOWN_SETTINGS,
      },
    ] as const;
    const made: Capture = { file: 'ü b.csv', sha256: sha256(bytes), layout: 'columns', warnings: ['w'], traces };
    const { capture: kept } = register.captures.add(made, bytes, condition('ü b.csv'), 1);
    const again = reopen(register);
    expect(again.captures.get(kept.id)).toMatchObject({
      file: 'ü b.csv',
      layout: 'columns',
      warnings: ['w'],
      traceIndex: 1,
      stateId: null,
      pointId: null,
      traces: [
        { label: 'a', points: 3, blankPoints: 1, startHz: 1e6, stopHz: 2e9 },
        { label: '', points: 2, blankPoints: 0, startHz: 1, stopHz: 2 },
      ],
    });
    expect([0, 1].map((index) => again.captures.trace(kept.id, index))).toEqual(traces);
    expect(again.captures.bytes(kept.id)).toEqual(bytes);
    expect(codeOf(() => again.captures.trace(kept.id, 2))).toBe('not-found');
    expect(codeOf(() => again.captures.trace(99, 0))).toBe('not-found');
  });

  test('the same bytes again add nothing, whatever the name and whichever window', () => {
    const register = freshRegister();
    const other = reopen(register);
    const { capture: made, bytes } = capture('a.csv');
    const first = register.captures.add(made, bytes, condition('a.csv'), 0);
    const second = other.captures.add({ ...made, file: 'copy of a.csv' }, bytes, condition('copy of a.csv'), 0);
    expect(second).toMatchObject({ alreadyKnown: true, capture: { id: first.capture.id, file: 'a.csv' } });
    expect(register.captures.list()).toHaveLength(1);
    expect(register.history(9, null)).toHaveLength(1);
  });

  test('bytes that are not those of the stated SHA-256 are not taken in', () => {
    const register = freshRegister();
    const { capture: made } = capture('a.csv');
    expect(() => register.captures.add(made, new Uint8Array([1]), condition('a.csv'), 0)).toThrow(/SHA-256/);
    expect(register.captures.list()).toEqual([]);
    expect(register.check()).toEqual([]);
  });

  test('a removed one is gone, can be taken in again, and comes back whole by undo', () => {
    const register = freshRegister();
    const { capture: kept } = take(register, 'a.csv');
    register.captures.remove([kept.id]);
    expect(register.captures.list()).toEqual([]);
    expect(codeOf(() => register.captures.get(kept.id))).toBe('not-found');
    const { capture: second } = take(register, 'a.csv');
    expect(second.id).not.toBe(kept.id);
    register.undo();
    register.undo();
    expect(register.captures.list().map(({ id }) => id)).toEqual([kept.id]);
    expect(register.captures.trace(kept.id, 0)).toEqual(capture('a.csv').capture.traces[0]);
  });

  test('many are assigned in one step; a field left out stays, null clears it; what is not there is refused whole', () => {
    const register = freshRegister();
    const ids = ['a', 'b'].map((name, i) => take(register, `${name}.csv`, i).capture.id);
    const [state, point] = [register.states.put(null, aState('S0')), register.points.put(null, aPoint('port'))];
    register.captures.assign(ids, { stateId: state.id, pointId: point.id, condition: { mode: 'idle', rbwHz: 9e3 } });
    const assigned = register.captures.assign(ids, { stateId: null, condition: { rbwHz: null } });
    for (const kept of assigned)
      expect(kept).toMatchObject({ stateId: null, pointId: point.id, condition: { mode: 'idle', rbwHz: null } });
    expect(register.history(4, null).map((entry) => entry.summary)).toEqual([
      'put capture b.csv to no state: condition.rbwHz',
      'put capture a.csv to no state: condition.rbwHz',
      'put capture b.csv to state S0 and point port: condition.mode, condition.rbwHz',
      'put capture a.csv to state S0 and point port: condition.mode, condition.rbwHz',
    ]);
    register.undo();
    expect(register.captures.list().map((kept) => kept.stateId)).toEqual([state.id, state.id]);
    expect(codeOf(() => register.captures.assign(ids, { stateId: 99 }))).toBe('not-found');
    expect(codeOf(() => register.captures.assign(ids, { pointId: 99 }))).toBe('not-found');
    expect(codeOf(() => register.captures.assign([ids[0]!, 99], { condition: { mode: 'x' } }))).toBe('not-found');
    expect(register.captures.get(ids[0]!).condition.mode).toBe('idle');
  });

  test('one that decisions rest on stays, with the others of the same call', () => {
    const register = freshRegister();
    const ids = ['a', 'b'].map((name, i) => take(register, `${name}.csv`, i).capture.id);
    const decision = register.decisions.put(null, aDecision(ids[1]!));
    expect(refusalOf(() => register.captures.remove(ids)).problem).toMatchObject({
      place: 'capture b.csv',
      found: '1 decision(s) that rest on it',
    });
    expect(register.captures.list()).toHaveLength(2);
    register.decisions.remove(decision.id);
    register.captures.remove(ids);
    expect(register.captures.list()).toEqual([]);
  });
});
