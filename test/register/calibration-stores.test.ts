import { describe, expect, test } from 'vitest';
import type { CalibrationTable } from '../../src-main/model/calibration.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import type { Trace } from '../../src-main/model/trace.ts';
import { aPoint, codeOf, freshRegister, refusalOf, reopen, take } from './scene.ts';

const table: Omit<CalibrationTable, 'id'> = {
  name: 'cable 7',
  kind: 'loss',
  frequencyHz: [1e6, 30e6],
  valueDb: [0.2, 1.1],
  uncertaintyDb: [0.05, 0.1],
  units: null,
  source: 'own measurement',
  date: '2026-01-31',
  dueOn: null,
};

describe('calibration tables and chains', () => {
  test('are kept, changed and taken back like everything else', () => {
    const register = freshRegister();
    const { id } = register.calibrations.put(null, table);
    register.chains.put(null, { name: 'bench', tableIds: [id], notes: '' });
    const again = reopen(register);
    expect(again.calibrations.get(id)).toEqual({ ...table, id });
    expect(again.chains.list()).toMatchObject([{ name: 'bench', tableIds: [id] }]);
    register.calibrations.put(id, { ...table, valueDb: [0.3, 1.2] });
    register.undo();
    expect(register.calibrations.get(id)!.valueDb).toEqual([0.2, 1.1]);
    expect(register.check()).toEqual([]);
  });

  test('a table that a chain rests on stays, and so does a chain that a capture rests on', () => {
    const register = freshRegister();
    const { id } = register.calibrations.put(null, table);
    const chain = register.chains.put(null, { name: 'bench', tableIds: [id], notes: '' });
    const { capture } = take(register, 'a.csv');
    register.captures.assign([capture.id], { calibration: { chainId: chain.id, transferId: null } });
    expect(register.captures.get(capture.id).calibration).toEqual({ chainId: chain.id, transferId: null });
    expect(refusalOf(() => register.calibrations.remove(id)).problem.found).toBe('1 chain resting on it');
    expect(refusalOf(() => register.chains.remove(chain.id)).problem.found).toBe('1 capture resting on it');
    register.captures.assign([capture.id], { calibration: { chainId: null, transferId: null } });
    register.chains.remove(chain.id);
    register.calibrations.remove(id);
    expect(register.calibrations.list()).toEqual([]);
  });

  test('frequencies that fall, a name twice and a chain of tables that are not there are refused', () => {
    const register = freshRegister();
    register.calibrations.put(null, table);
    expect(codeOf(() => register.calibrations.put(null, table))).toBe('refused');
    expect(
      refusalOf(() => register.calibrations.put(null, { ...table, name: 'b', frequencyHz: [2, 1] })).problem.found,
    ).toBe('1 Hz after 2 Hz in row 2');
    expect(codeOf(() => register.chains.put(null, { name: 'c', tableIds: [99], notes: '' }))).toBe('refused');
  });

  test('a version of a transfer once given is never changed', () => {
    const register = freshRegister();
    const point = register.points.put(null, aPoint('probe'));
    const transfer = {
      ...table,
      pointId: point.id,
      version: 1,
      units: { from: 'dBµV', to: 'dBm' },
      by: 'tester',
    };
    const { id } = register.transfers.put(null, transfer);
    expect(refusalOf(() => register.transfers.put(id, transfer)).problem.wayOut).toMatch(/gets the next number/);
  });
});

describe('CaptureStore', () => {
  const made = (level: number): Trace => ({
    label: 'Hann',
    frequencyHz: Float64Array.of(1, 2, 3),
    level: Float64Array.of(level, level, level),
    unit: { name: 'dBV', scale: 'decibel', perHz: false },
    settings: { ...UNKNOWN_SETTINGS, rbwHz: 1 },
    instrument: [{ kind: 'dc', lowHz: 1, highHz: 1, why: 'offset' }],
    axis: 'offset',
  });

  test('addTrace keeps another spectrum of the same file as its next trace and chooses it; undo takes it back', () => {
    const register = freshRegister();
    const { capture } = take(register, 'a.csv');
    const before = capture.traces.length;
    expect(register.captures.addTrace(capture.id, made(-80))).toBe(before);
    expect(register.captures.get(capture.id).traceIndex).toBe(before);
    expect(register.captures.trace(capture.id, before)).toEqual(made(-80));
    register.undo();
    expect(register.captures.get(capture.id)).toMatchObject({ traceIndex: capture.traceIndex });
    expect(register.captures.addTrace(capture.id, made(-70))).toBe(before);
    expect(reopen(register).captures.trace(capture.id, before)).toEqual(made(-70));
    expect(register.check()).toEqual([]);
  });

  test('wasTaken remembers bytes whose capture was removed', () => {
    const register = freshRegister();
    const { capture } = take(register, 'a.csv');
    expect(register.captures.wasTaken(capture.sha256)).toBe(true);
    register.captures.remove([capture.id]);
    expect(register.captures.findBySha256(capture.sha256)).toBeNull();
    expect(register.captures.wasTaken(capture.sha256)).toBe(true);
    expect(register.captures.wasTaken('0'.repeat(64))).toBe(false);
  });
});

test('a watched folder is kept once', () => {
  const register = freshRegister();
  const folder = { path: '/bench', stateId: null, pointId: null, condition: {}, compareWith: [], isOn: true };
  register.folders.put(null, folder);
  expect(codeOf(() => register.folders.put(null, folder))).toBe('refused');
  expect(reopen(register).folders.list()).toMatchObject([folder]);
});
