import { expect, test } from 'vitest';
import { readDocument, traceFacts } from '../../src-main/report/read-document.ts';
import { expectShape, READ_SHAPE } from './document-shape.ts';
import { traceOf } from './sample-triage.ts';

const capture = { file: 'a.csv', sha256: 'ab', layout: 'two columns', traces: [traceOf()], warnings: ['w'] };

test('the document has every field, each of its kind', () => {
  expectShape(readDocument([capture], []), READ_SHAPE);
});

test('extremes, steps and blanks are counted from the points', () => {
  const trace = traceOf({ frequencyHz: Float64Array.of(1, 2, 4, 5, 6, 9) });
  expect(traceFacts(trace)).toEqual({ smallestStepHz: 1, largestStepHz: 3, blankPoints: 1, lowest: -91, highest: -60 });
});

test('a trace without a value has no extremes and says why', () => {
  const blank = { ...capture, traces: [traceOf({ level: new Float64Array(6).fill(NaN) })] };
  expect(readDocument([blank], [])).toMatchObject({
    captures: [
      { traces: [{ blank_points: 6, lowest_level: null, reasons: { lowest_level: 'every point is blank' } }] },
    ],
  });
});

test('the first trace with a value is told under the names of the triage document', () => {
  const blank = traceOf({ level: new Float64Array(6).fill(NaN) });
  const document = readDocument([{ ...capture, traces: [blank, traceOf({ label: 'live' })] }], []);
  expect(document).toMatchObject({
    captures: [{ trace_number: 2, points: 6, unit: 'dBm', rbw_hz: 1000, averages: null }],
  });
});
