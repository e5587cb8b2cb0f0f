import { expect, test } from 'vitest';
import { chooseTrace } from '../../../src-main/api/steps/choose-trace.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { SILENT_CONDITION, traceOf } from '../../report/sample-triage.ts';

const blank = traceOf({ label: 'off', level: new Float64Array(6).fill(NaN) });
const capture = (...traces: ReturnType<typeof traceOf>[]) => ({
  file: 'a.csv',
  sha256: '',
  layout: '',
  warnings: [],
  traces,
});

test('the first trace with a value is taken and the others are named, the blank one as blank', () => {
  const chosen = chooseTrace(capture(blank, traceOf({ label: 'live' }), traceOf()), null, null);
  expect(chosen.traceIndex).toBe(1);
  expect(chosen.warnings).toEqual(['Only trace 2 (live) was analysed, not 1 (off), blank; 3.']);
});

test('a lone trace needs no remark', () => {
  expect(chooseTrace(capture(traceOf()), null, null).warnings).toEqual([]);
});

test.each([
  ['a trace that is not there', capture(traceOf()), 4, 'trace 5'],
  ['a blank trace that was asked for', capture(blank, traceOf()), 0, 'trace 1'],
  ['nothing but blank traces', capture(blank, blank), null, 'every trace'],
])('%s is refused with its place', (_, given, index, place) => {
  const refused = (() => {
    try {
      return chooseTrace(given, index, null);
    } catch (error) {
      return error;
    }
  })();
  expect(refused).toBeInstanceOf(InputError);
  expect((refused as InputError).problem).toMatchObject({ file: 'a.csv', place });
});

test('a stated unit holds over the file’s own, and a contradiction is told', () => {
  const { trace, warnings } = chooseTrace(capture(traceOf()), null, { ...SILENT_CONDITION, unit: 'dBuV', rbwHz: 300 });
  expect(trace.unit).toEqual({ name: 'dBµV', scale: 'decibel', perHz: false });
  expect(warnings).toEqual([
    'The conditions say RBW in Hz 300, the file says 1000: the conditions were taken.',
    'The conditions say unit dBuV, the file says dBm: the conditions were taken.',
  ]);
});

test('a unit that fills a gap is no contradiction', () => {
  const unknown = traceOf({ unit: { name: 'unknown', scale: 'decibel', perHz: false } });
  const { trace, warnings } = chooseTrace(capture(unknown), null, { ...SILENT_CONDITION, unit: 'dBm' });
  expect(trace.unit.name).toBe('dBm');
  expect(warnings).toEqual([]);
});

test('a unit nobody knows is refused', () => {
  expect(() => chooseTrace(capture(traceOf()), null, { ...SILENT_CONDITION, unit: 'furlong' })).toThrow(/"furlong"/);
});
