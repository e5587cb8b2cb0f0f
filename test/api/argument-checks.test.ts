import { expect, test } from 'vitest';
import { checkedArgument, isCallName } from '../../src-main/api/argument-checks.ts';
import type { CallName } from '../../src-main/api/contract.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import { SILENT_CONDITION, SOURCE } from '../report/sample-triage.ts';

const bytes = new Uint8Array([1]);
const at = '2026-03-01T10:00:00Z';
const point = {
  id: null,
  name: 'RX in',
  kind: 'receiver-port',
  where: '',
  coupling: '',
  conductors: '',
  orientation: '',
  heightM: null,
  bonding: '',
  notes: '',
};
const fix = {
  id: null,
  fromStateId: 1,
  toStateId: 2,
  change: 'bead on the harness',
  sources: ['DC-A'],
  by: '',
  at,
  undoneAt: null,
  notes: '',
};
const decision = {
  id: null,
  captureId: 1,
  frequencyHz: 1e6,
  kind: 'confirm',
  source: 'DC-A',
  harmonic: 3,
  note: '',
  by: '',
};

const spectrum = {
  window: 'hann',
  rbwHz: 10,
  overlap: 0.5,
  fromS: 0,
  toS: null,
  centreHz: null,
  voltsPerUnit: null,
  impedanceOhm: 50,
};
const table = { name: 'cable', kind: 'loss', units: null, source: '', date: '2026-01-31', dueOn: null };
const curve = { frequencyHz: [1e6], valueDb: [1], uncertaintyDb: null };

/** For every call one good argument, and arguments each wrong in one field (named first). */
const CASES: Readonly<
  Record<CallName, { good: unknown; bad: readonly (readonly [field: string, argument: unknown])[] }>
> = {
  recordingList: { good: { captureId: 1 }, bad: [['captureId', { captureId: 0 }]] },
  spectrumPlan: {
    good: { captureId: 1, recording: 0, settings: spectrum },
    bad: [
      ['settings.window', { captureId: 1, recording: 0, settings: { ...spectrum, window: 'hanning' } }],
      ['settings.overlap', { captureId: 1, recording: 0, settings: { ...spectrum, overlap: 1 } }],
      ['settings.rbwHz', { captureId: 1, recording: 0, settings: { ...spectrum, rbwHz: 0 } }],
    ],
  },
  spectrumRun: {
    good: { captureId: 1, recording: 0, channel: 0, settings: spectrum, jobId: 'j' },
    bad: [['channel', { captureId: 1, recording: 0, channel: -1, settings: spectrum, jobId: 'j' }]],
  },
  waterfallRun: {
    good: { captureId: 1, recording: 0, channel: 0, settings: spectrum, jobId: 'j', rows: 10, columns: 10 },
    bad: [
      ['rows', { captureId: 1, recording: 0, channel: 0, settings: spectrum, jobId: 'j', rows: 1e5, columns: 10 }],
    ],
  },
  calibrationList: { good: {}, bad: [['extra', { extra: 1 }]] },
  calibrationPut: {
    good: { ...table, ...curve, id: null },
    bad: [
      ['kind', { ...table, ...curve, id: null, kind: 'cable' }],
      ['frequencyHz', { ...table, ...curve, id: null, frequencyHz: [] }],
      ['valueDb.0', { ...table, ...curve, id: null, valueDb: [NaN] }],
      ['date', { ...table, ...curve, id: null, date: 'last week' }],
    ],
  },
  calibrationRemove: { good: { id: 1 }, bad: [['id', { id: 1.5 }]] },
  calibrationImport: { good: { ...table, file: 'a.csv', bytes }, bad: [['bytes', { ...table, file: 'a.csv' }]] },
  chainList: { good: {}, bad: [['extra', { extra: 1 }]] },
  chainPut: {
    good: { id: null, name: 'bench', tableIds: [1], notes: '' },
    bad: [['name', { id: null, name: ' ', tableIds: [1], notes: '' }]],
  },
  chainRemove: { good: { id: 1 }, bad: [['id', { id: '1' }]] },
  chainCheckTone: {
    good: { captureId: 1, frequencyHz: 1e6, levelDb: -40, sigmaDb: 0.3 },
    bad: [['sigmaDb', { captureId: 1, frequencyHz: 1e6, levelDb: -40, sigmaDb: -1 }]],
  },
  transferList: { good: { pointId: 1 }, bad: [['pointId', {}]] },
  transferAdd: {
    good: { pointId: 1, ...curve, units: { from: 'dBµV', to: 'dBm' }, source: '', date: '2026-01-31' },
    bad: [['units', { pointId: 1, ...curve, units: null, source: '', date: '2026-01-31' }]],
  },
  captureCalibrate: {
    good: { captureIds: [1], chainId: null, transferId: 2 },
    bad: [['chainId', { captureIds: [1], transferId: 2 }]],
  },
  captureMeaning: { good: { captureId: 1 }, bad: [['captureId', { captureId: null }]] },
  fitToCompare: {
    good: { beforeCaptureIds: [], afterCaptureIds: [1] },
    bad: [['beforeCaptureIds', { beforeCaptureIds: null, afterCaptureIds: [1] }]],
  },
  watchList: { good: {}, bad: [['extra', { extra: 1 }]] },
  watchPut: {
    good: { id: null, path: '/a', stateId: null, pointId: 1, condition: { rbwHz: 10 }, compareWith: [1], isOn: true },
    bad: [
      ['path', { id: null, path: '', stateId: null, pointId: 1, condition: {}, compareWith: [], isOn: true }],
      ['isOn', { id: null, path: '/a', stateId: null, pointId: 1, condition: {}, compareWith: [], isOn: 1 }],
    ],
  },
  watchRemove: { good: { id: 1 }, bad: [['id', { id: 0 }]] },
  exportRun: {
    good: { what: { of: 'tracks', beforeCaptureIds: [1], afterCaptureIds: [2], as: 'csv' }, jobId: 'j' },
    bad: [
      ['what.as', { what: { of: 'plot', captureId: 1, as: 'csv', lowHz: 0, highHz: 1 }, jobId: 'j' }],
      ['what.of', { what: { of: 'secrets', as: 'csv' }, jobId: 'j' }],
    ],
  },
  about: { good: {}, bad: [['extra', { extra: 1 }]] },
  registerInfo: { good: {}, bad: [['argument', null]] },
  registerNew: {
    good: { path: '/a/b', title: 'T' },
    bad: [
      ['title', { path: '/a', title: '  ' }],
      ['path', { path: 'a\0b', title: 'T' }],
      ['path', { title: 'T' }],
    ],
  },
  registerOpen: { good: { path: '/a' }, bad: [['path', { path: '' }]] },
  registerOpenDemo: { good: {}, bad: [['argument', undefined]] },
  registerRecent: { good: {}, bad: [['argument', 'x']] },
  folderList: { good: { path: null }, bad: [['path', { path: 3 }]] },
  undo: { good: {}, bad: [['argument', 1]] },
  redo: { good: {}, bad: [['argument', 1]] },
  history: {
    good: { limit: 50, beforeId: null },
    bad: [
      ['limit', { limit: 0, beforeId: null }],
      ['limit', { limit: 1e9, beforeId: null }],
      ['beforeId', { limit: 5, beforeId: 1.5 }],
    ],
  },
  captureAdd: {
    good: { file: 'a.csv', bytes, jobId: 'j' },
    bad: [
      ['bytes', { file: 'a.csv', bytes: 'text', jobId: 'j' }],
      ['file', { file: '', bytes, jobId: 'j' }],
    ],
  },
  captureList: { good: {}, bad: [['argument', 0]] },
  captureRemove: { good: { captureIds: [1] }, bad: [['captureIds', { captureIds: [] }]] },
  captureAssign: {
    good: { captureIds: [1, 2], stateId: null, condition: { rbwHz: 100, mode: null }, role: 'off', traceIndex: 0 },
    bad: [
      ['role', { captureIds: [1], role: 'on' }],
      ['condition.rbwHz', { captureIds: [1], condition: { rbwHz: -1 } }],
      ['condition.rbw', { captureIds: [1], condition: { rbw: 3 } }],
      ['stateId', { captureIds: [1], stateId: undefined }],
    ],
  },
  traceColumns: {
    good: { captureId: 1, traceIndex: 0, lowHz: 0, highHz: 1, columns: 1200 },
    bad: [
      ['columns', { captureId: 1, traceIndex: 0, lowHz: 0, highHz: 1, columns: 0 }],
      ['lowHz', { captureId: 1, traceIndex: 0, lowHz: NaN, highHz: 1, columns: 10 }],
      ['argument', { captureId: 1, traceIndex: 0, lowHz: 2, highHz: 1, columns: 10 }],
    ],
  },
  overlayColumns: {
    good: { captureIds: [1, 2], combine: 'mean', lowHz: 0, highHz: 1, columns: 100 },
    bad: [
      ['captureIds', { captureIds: [], combine: 'mean', lowHz: 0, highHz: 1, columns: 100 }],
      ['combine', { captureIds: [1], combine: 'median', lowHz: 0, highHz: 1, columns: 100 }],
      ['argument', { captureIds: [1], combine: 'mean', lowHz: 2, highHz: 1, columns: 100 }],
    ],
  },
  waterfall: {
    good: { captureIds: [1, 2], lowHz: 0, highHz: 1, columns: 100 },
    bad: [
      ['argument', { captureIds: [1], lowHz: 1, highHz: 1, columns: 100 }],
      ['columns', { captureIds: [1], lowHz: 0, highHz: 1, columns: 0 }],
    ],
  },
  triageRun: { good: { captureId: 1, jobId: 'j' }, bad: [['jobId', { captureId: 1, jobId: '' }]] },
  triageGet: { good: { captureId: 1 }, bad: [['captureId', { captureId: '1' }]] },
  compareRun: {
    good: { beforeCaptureIds: [1], afterCaptureIds: [2], jobId: 'j', repeats: 're-rigged' },
    bad: [
      ['afterCaptureIds', { beforeCaptureIds: [1], afterCaptureIds: [], jobId: 'j' }],
      ['repeats', { beforeCaptureIds: [1], afterCaptureIds: [2], jobId: 'j', repeats: 'again' }],
    ],
  },
  cancel: { good: { jobId: 'j' }, bad: [['jobId', {}]] },
  sourceList: { good: {}, bad: [['argument', 0]] },
  sourceCheck: {
    good: { source: { ...SOURCE, designator: '', nominalHz: NaN }, replaces: null },
    bad: [['source.kind', { source: { ...SOURCE, kind: 'fan' }, replaces: null }]],
  },
  sourcePut: {
    good: { source: SOURCE, replaces: null },
    bad: [
      ['source.nominalHz', { source: { ...SOURCE, nominalHz: 0 }, replaces: null }],
      [
        'source.lock.denominator',
        { source: { ...SOURCE, lock: { to: 'X', numerator: 1, denominator: 0 } }, replaces: null },
      ],
      ['source.duty', { source: { ...SOURCE, duty: 1.2 }, replaces: null }],
    ],
  },
  sourceRemove: { good: { designator: 'X' }, bad: [['designator', { designator: '' }]] },
  sourceImport: {
    good: { file: 'a', text: '', replaceAll: true },
    bad: [['replaceAll', { file: 'a', text: '', replaceAll: 1 }]],
  },
  sourceExport: { good: {}, bad: [['argument', true]] },
  bandList: { good: {}, bad: [['argument', true]] },
  bandImport: { good: { file: 'a', text: '' }, bad: [['text', { file: 'a' }]] },
  stateList: { good: {}, bad: [['argument', true]] },
  statePut: {
    good: {
      id: null,
      name: 'S0',
      description: '',
      parentId: null,
      at,
      configuration: [{ item: 'lid', serial: '1', revision: '', detail: '' }],
    },
    bad: [
      ['at', { id: null, name: 'S0', description: '', parentId: null, at: 'yesterday', configuration: [] }],
      [
        'configuration.0.serial',
        {
          id: null,
          name: 'S0',
          description: '',
          parentId: null,
          at,
          configuration: [{ item: 'lid', revision: '', detail: '' }],
        },
      ],
    ],
  },
  stateRemove: { good: { id: 1 }, bad: [['id', { id: -1 }]] },
  fixList: { good: {}, bad: [['argument', true]] },
  fixPut: {
    good: fix,
    bad: [
      ['change', { ...fix, change: '' }],
      ['undoneAt', { ...fix, undoneAt: '' }],
    ],
  },
  fixRemove: { good: { id: 1 }, bad: [['id', {}]] },
  pointList: { good: {}, bad: [['argument', true]] },
  pointPut: {
    good: point,
    bad: [
      ['kind', { ...point, kind: 'nose' }],
      ['heightM', { ...point, heightM: Infinity }],
    ],
  },
  pointRemove: { good: { id: 1 }, bad: [['id', { id: null }]] },
  eventList: { good: {}, bad: [['argument', true]] },
  eventPut: {
    good: { id: null, kind: 'vibration', description: 'axis Z', at, afterStateId: null },
    bad: [['kind', { id: null, kind: 'party', description: 'x', at, afterStateId: null }]],
  },
  decisionList: { good: { captureId: 1 }, bad: [['captureId', {}]] },
  decisionPut: {
    good: decision,
    bad: [
      ['kind', { ...decision, kind: 'maybe' }],
      ['harmonic', { ...decision, harmonic: 0 }],
    ],
  },
  decisionPutMany: {
    good: { decisions: [decision, decision] },
    bad: [
      ['decisions', { decisions: [] }],
      ['decisions.1.kind', { decisions: [decision, { ...decision, kind: 'maybe' }] }],
    ],
  },
};
const calls = Object.entries(CASES) as [CallName, (typeof CASES)[CallName]][];

test.each(calls)('%s takes a good argument as it is', (call, { good }) => {
  expect(checkedArgument(call, good)).toEqual(good);
});

test.each(calls.flatMap(([call, { bad }]) => bad.map(([field, argument]) => ({ call, field, argument }))))(
  '$call refuses an argument wrong in $field and names the field',
  ({ call, field, argument }) => {
    const refusal = (() => {
      try {
        return checkedArgument(call, argument);
      } catch (error) {
        return error;
      }
    })();
    expect(refusal).toBeInstanceOf(InputError);
    expect((refusal as InputError).problem).toMatchObject({ file: call, place: field });
    expect((refusal as InputError).problem.expected).not.toBe('');
  },
);

test('a name that every object has is no call', () => {
  expect(isCallName('toString')).toBe(false);
  expect(isCallName('__proto__')).toBe(false);
  expect(isCallName('about')).toBe(true);
  expect(isCallName(7)).toBe(false);
});

test('a whole condition is a good partial condition', () => {
  expect(() => checkedArgument('captureAssign', { captureIds: [1], condition: SILENT_CONDITION })).not.toThrow();
});
