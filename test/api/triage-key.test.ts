import { expect, test } from 'vitest';
import { triageKey, type TriageInputs } from '../../src-main/api/triage-key.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { SILENT_CONDITION, SOURCE } from '../report/sample-triage.ts';

const B = { ...SOURCE, designator: 'DC-B' };
const inputs: TriageInputs = {
  sha256: 'ab',
  traceIndex: 0,
  condition: SILENT_CONDITION,
  sources: [SOURCE, B],
  settings: DEFAULT_TRIAGE_SETTINGS,
};
const key = (change: Partial<TriageInputs> = {}, version = '1') => triageKey({ ...inputs, ...change }, version);

test.each<[string, Partial<TriageInputs>]>([
  ['the bytes', { sha256: 'cd' }],
  ['the trace', { traceIndex: 1 }],
  ['the RBW', { condition: { ...SILENT_CONDITION, rbwHz: 10 } }],
  ['what is off', { condition: { ...SILENT_CONDITION, sourcesOff: [] } }],
  ['the role', { condition: { ...SILENT_CONDITION, role: 'off' } }],
  ['a tolerance', { sources: [{ ...SOURCE, tolerancePpm: 5 }, B] }],
  ['a source more or less', { sources: [SOURCE] }],
  ['a threshold', { settings: { ...DEFAULT_TRIAGE_SETTINGS, matchSigma: 2 } }],
])('a result is stale once %s changes', (_, change) => {
  expect(key(change)).not.toBe(key());
});

test.each<[string, Partial<TriageInputs>]>([
  ['the order of the sources', { sources: [B, SOURCE] }],
  ['a note or a serial number', { sources: [{ ...SOURCE, notes: 'x', serial: '7' }, B] }],
  [
    'the name of the file, the state or the point',
    { condition: { ...SILENT_CONDITION, file: 'b.csv', state: 'S1', point: 'RX' } },
  ],
  [
    'the order of fields',
    { condition: Object.fromEntries(Object.entries(SILENT_CONDITION).reverse()) as unknown as typeof SILENT_CONDITION },
  ],
])('a result stays good when only %s changes', (_, change) => {
  expect(key(change)).toBe(key());
});

test('another version of the program computes anew', () => {
  expect(key({}, '2')).not.toBe(key({}, '1'));
});
