import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UNKNOWN_SETTINGS, type CaptureSettings } from '../../src-main/model/capture.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import type { Trace } from '../../src-main/model/trace.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { traceDocument } from '../../src-main/report/export/export-trace.ts';
import { utf8 } from './build.ts';

const read = (document: unknown, file = 'trace.json') => readCapture(utf8(JSON.stringify(document)), file);
const DOCUMENT = {
  schema: 'spurledger.trace/1',
  unit: 'dBm',
  unit_scale: 'decibel',
  unit_per_hz: false,
  settings: { rbw_hz: 3000 },
  frequency_hz: [1e6, 2e6, 3e6],
  level: [-90.25, null, -100],
};
const SETTINGS: CaptureSettings = {
  ...UNKNOWN_SETTINGS,
  rbwHz: 1234.5678901234567,
  rbwShape: 'noise',
  averages: 12.34,
  averaging: 'power',
  detector: 'rms',
  attenuationDb: 10,
  gainDb: -0.1,
  sweepTimeS: 0.25,
  referenceLevel: 0,
  frequencyAccuracyPpm: 0.5,
  takenAt: '2026-03-01 10:00',
  computedLine: { coefficients: [0.5, 0.5], halfPowerBins: 1.4382, widthHz: 43.9 },
  clippedSamples: 0,
  gainState: 'high',
  centreHz: 7e6,
  channelResponse: 'front end',
};

test('a document written by hand is the trace that it says, a level of null blank', () => {
  const { traces, layout, warnings } = read(DOCUMENT);
  expect(traces).toHaveLength(1);
  expect([...traces[0]!.frequencyHz]).toEqual([1e6, 2e6, 3e6]);
  expect([...traces[0]!.level]).toEqual([-90.25, NaN, -100]);
  expect(traces[0]!.unit).toEqual({ name: 'dBm', scale: 'decibel', perHz: false });
  expect(traces[0]!.settings).toEqual({ ...UNKNOWN_SETTINGS, rbwHz: 3000 });
  expect(layout).toBe('a trace taken out as JSON');
  expect(warnings).toEqual([]);
});

test('whatever trace is taken out comes back as it was, to the last bit', () => {
  const levels = fc.array(fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.constant(NaN)), {
    minLength: 2,
    maxLength: 40,
  });
  fc.assert(
    fc.property(
      levels,
      fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
      fc.boolean(),
      fc.string(),
      (level, step, isOffset, label) => {
        const trace: Trace = {
          label: label.replace(/[\ud800-\udfff]/g, ''),
          frequencyHz: Float64Array.from(level, (_, i) => 100 + i * step),
          level: Float64Array.from(level, (value) => (value === 0 ? 0 : value)),
          unit: { name: 'V/√Hz', scale: 'amplitude', perHz: true },
          settings: SETTINGS,
          instrument: [{ kind: 'image', lowHz: 1, highHz: 2.5, why: 'mirror of a line' }],
          ...(isOffset ? { axis: 'offset' as const } : {}),
        };
        expect(read(traceDocument(trace, 'a.csv', '00')).traces).toEqual([trace]);
      },
    ),
    { numRuns: 100, seed: 4 },
  );
});

describe('what is wrong is refused by its field', () => {
  test.each([
    [{ ...DOCUMENT, level: [1, 2] }, 'level', '2 levels'],
    [{ ...DOCUMENT, frequency_hz: [1e6, 3e6, 2e6] }, 'frequency_hz, place 3', '2000000'],
    [{ ...DOCUMENT, frequency_hz: [1e6] }, 'frequency_hz', '1 points'],
    [{ ...DOCUMENT, frequency_hz: [1e6, null, 2e6] }, 'frequency_hz, place 2', '“null”'],
    [{ ...DOCUMENT, level: [1, 'x', 2] }, 'level, place 2', '“x”'],
    [{ ...DOCUMENT, unit_scale: undefined }, 'unit_scale', 'nothing'],
    [{ ...DOCUMENT, unit_scale: 'loud' }, 'unit_scale', '“loud”'],
    [{ ...DOCUMENT, settings: { rbw_hz: -1 } }, 'settings.rbw_hz', '“-1”'],
    [{ ...DOCUMENT, settings: { averaging: 'max' } }, 'settings.averaging', '“max”'],
    [{ ...DOCUMENT, settings: [] }, 'settings', 'no object'],
    [{ ...DOCUMENT, instrument: [{ kind: 'dc', low_hz: 1 }] }, 'instrument, place 1.high_hz', 'nothing'],
  ])('%#', (document, place, found) => {
    const problem = (): unknown => read(document);
    expect(problem).toThrow(InputError);
    try {
      problem();
    } catch (error) {
      expect((error as InputError).problem).toMatchObject({ file: 'trace.json', place, found });
    }
  });

  test('a document cut off is no JSON, and the message says so', () => {
    const text = JSON.stringify(DOCUMENT);
    expect(() => readCapture(utf8(text.slice(0, -5)), 'cut.json')).toThrow(/cut\.json.*no JSON/);
  });
});
