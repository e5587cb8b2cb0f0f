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

const basis = { temperatureSpanK: 10, leakageHz: 0, offerLocks: true, seed: 1, useMeasured: false, leftOut: [] };
const setting = { source: 'DC-A', nominalHz: 3e5, lockedTo: null, lockNumerator: null, lockDenominator: null };

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
const band = {
  name: 'low',
  lowHz: 1e6,
  highHz: 2e6,
  channelHz: 1e4,
  channelOriginHz: null,
  allowedOverFloorDb: 6,
  allowedLevel: null,
  allowedUnit: null,
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
};
const requirement = {
  id: null,
  code: 'RX-1',
  text: '',
  bands: ['low'],
  demand: { kind: 'clean-channels', atLeast: 0.9, as: 'share' },
  limit: null,
  modes: [],
  temperatures: [{ lowC: 15, highC: 30 }],
  points: [],
};
const acceptance = {
  subject: { kind: 'not-exercised', source: 'U7' },
  reason: 'runs in ascent only',
  approver: 'the lead',
  scope: { serials: [], modes: [], bands: [], points: [], temperature: null },
  fromStateId: null,
  untilStateId: null,
  expiresOn: '2026-12-31',
};
const disposition = { id: null, ...acceptance };

const reviewNote = {
  id: null,
  freezeId: null,
  kind: 'action',
  subject: { kind: 'whole', key: '' },
  text: 'look at the strap',
  by: ['the lead'],
  owner: 'bench',
  dueOn: '2026-04-01',
};

/** For every call one good argument, and arguments each wrong in one field (named first). */
const CASES: Readonly<
  Record<CallName, { good: unknown; bad: readonly (readonly [field: string, argument: unknown])[] }>
> = {
  readingPreview: {
    good: {
      file: 'a.csv',
      bytes,
      jobId: 'j',
      companions: [{ file: 'a.x', bytes }],
      hints: {
        separator: ';',
        decimalMark: ',',
        headerLines: 3,
        frequencyColumn: 1,
        levelColumns: [2, 4],
        unit: 'dBm',
      },
    },
    bad: [
      ['hints.separator', { file: 'a.csv', bytes, jobId: 'j', hints: { separator: ':' } }],
      ['hints.levelColumns', { file: 'a.csv', bytes, jobId: 'j', hints: { levelColumns: [] } }],
      ['hints.sampleRateHz', { file: 'a.csv', bytes, jobId: 'j', hints: { sampleRateHz: 0 } }],
      ['hints', { file: 'a.csv', bytes, jobId: 'j' }],
    ],
  },
  rowsOverTime: {
    good: { captureId: 1, rows: 300, columns: 900, jobId: 'j' },
    bad: [['rows', { captureId: 1, rows: 0, columns: 900, jobId: 'j' }]],
  },
  readingRemember: {
    good: { layoutKey: 'text.csv 2 0011', hints: null },
    bad: [['hints.stepHz', { layoutKey: 'a', hints: { stepHz: -1 } }]],
  },
  freezeList: { good: {}, bad: [['extra', { extra: 1 }]] },
  freezeOffer: { good: { stateId: 1 }, bad: [['stateId', { stateId: 0 }]] },
  freezePut: {
    good: { stateId: 1, note: '', by: 'the lead' },
    bad: [['by', { stateId: 1, note: '', by: ' ' }]],
  },
  freezeReopen: {
    good: { freezeId: 1, by: 'the lead', reason: 'wrong RBW' },
    bad: [['reason', { freezeId: 1, by: 'the lead', reason: '' }]],
  },
  packetWrite: {
    good: { freezeId: null, folder: 'packet', key: { file: 'k.pem', pem: '' }, jobId: 'j' },
    bad: [
      ['freezeId', { freezeId: 0, folder: 'packet', key: null, jobId: 'j' }],
      ['folder', { freezeId: 1, folder: 'a\0b', key: null, jobId: 'j' }],
      ['key.pem', { freezeId: 1, folder: 'packet', key: { file: 'k', pem: 'x'.repeat(20_001) }, jobId: 'j' }],
    ],
  },
  packetVerify: {
    good: { folder: 'packet', publicKey: null, jobId: 'j' },
    bad: [['folder', { folder: '', publicKey: null, jobId: 'j' }]],
  },
  recheckList: { good: {}, bad: [['extra', { extra: 1 }]] },
  recheckOpen: {
    good: { freezeId: 1, eventId: 1, by: 'the lead' },
    bad: [['eventId', { freezeId: 1, eventId: 0.5, by: 'the lead' }]],
  },
  recheckState: { good: { id: 1, stateId: null }, bad: [['stateId', { id: 1, stateId: 0 }]] },
  recheckItem: {
    good: { id: 1, baselineCaptureId: 1, repeatedBy: [], droppedBecause: null },
    bad: [
      ['repeatedBy.0', { id: 1, baselineCaptureId: 1, repeatedBy: [0], droppedBecause: null }],
      ['droppedBecause', { id: 1, baselineCaptureId: 1, repeatedBy: [], droppedBecause: '' }],
    ],
  },
  recheckRun: { good: { id: 1, jobId: 'j' }, bad: [['jobId', { id: 1, jobId: '' }]] },
  reviewNoteList: { good: {}, bad: [['extra', { extra: 1 }]] },
  reviewNotePut: {
    good: { ...reviewNote },
    bad: [
      ['kind', { ...reviewNote, kind: 'remark' }],
      ['text', { ...reviewNote, text: ' ' }],
      ['by.0', { ...reviewNote, by: [''] }],
      ['dueOn', { ...reviewNote, dueOn: 'soon' }],
      ['subject.kind', { ...reviewNote, subject: { kind: 'all', key: '' } }],
    ],
  },
  reviewNoteClose: { good: { id: 1, answer: '' }, bad: [['id', { id: 0, answer: '' }]] },
  evidenceRun: {
    good: { captureId: 1, jobId: 'j' },
    bad: [
      ['captureId', { captureId: 0, jobId: 'j' }],
      ['jobId', { captureId: 1, jobId: '' }],
    ],
  },
  evidenceGet: { good: { captureId: 1 }, bad: [['captureId', { captureId: -1 }]] },
  driftOffers: { good: {}, bad: [['captureId', { captureId: 1 }]] },
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
    bad: [['rows', { captureId: 1, recording: 0, channel: 0, settings: spectrum, jobId: 'j', rows: 1e5, columns: 10 }]],
  },
  timeStructure: {
    good: { captureId: 1, recording: 0, channel: 0, stepS: 1e-3, jobId: 'j' },
    bad: [['stepS', { captureId: 1, recording: 0, channel: 0, stepS: 0, jobId: 'j' }]],
  },
  timeAgreement: {
    good: { captureId: 1, recording: 0, channel: 0, stepS: 1e-3, file: 'log.csv', text: '', offsetS: -3, jobId: 'j' },
    bad: [
      [
        'offsetS',
        { captureId: 1, recording: 0, channel: 0, stepS: 1e-3, file: 'a', text: '', offsetS: NaN, jobId: 'j' },
      ],
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
  transferImport: {
    good: { pointId: 1, units: { from: 'dBm', to: 'dBm' }, source: '', date: '2026-01-31', file: 'a.s2p', bytes },
    bad: [
      ['date', { pointId: 1, units: { from: 'dBm', to: 'dBm' }, source: '', date: 'yesterday', file: 'a.s2p', bytes }],
    ],
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
      ['hints.axisIs', { file: 'a.csv', bytes, jobId: 'j', hints: { axisIs: 'phase' } }],
      ['companions.0.bytes', { file: 'a.csv', bytes, jobId: 'j', companions: [{ file: 'a.x', bytes: [1] }] }],
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
  photoList: { good: {}, bad: [['argument', 1]] },
  photoAdd: { good: { name: 'lid', bytes: new Uint8Array(3) }, bad: [['bytes', { name: 'lid', bytes: 'x' }]] },
  photoBytes: { good: { id: 1 }, bad: [['id', { id: 0 }]] },
  photoPut: {
    good: { id: 1, name: 'lid', pins: [{ pointId: 2, x: 0.5, y: 0.1 }] },
    bad: [['pins.0.x', { id: 1, name: 'lid', pins: [{ pointId: 2, x: NaN, y: 0.1 }] }]],
  },
  photoRemove: { good: { id: 1 }, bad: [['id', {}]] },
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
  eventRemove: { good: { id: 1 }, bad: [['id', { id: 0 }]] },
  decisionList: { good: { captureId: 1 }, bad: [['captureId', {}]] },
  decisionPut: {
    good: decision,
    bad: [
      ['kind', { ...decision, kind: 'maybe' }],
      ['harmonic', { ...decision, harmonic: 0 }],
    ],
  },
  planRun: {
    good: { basis, quick: true, jobId: 'j' },
    bad: [
      ['basis.leakageHz', { basis: { ...basis, leakageHz: -1 }, quick: true, jobId: 'j' }],
      ['basis.seed', { basis: { ...basis, seed: 0.5 }, quick: true, jobId: 'j' }],
      ['quick', { basis, jobId: 'j' }],
    ],
  },
  planTry: {
    good: { basis, chosen: [setting] },
    bad: [
      ['chosen.0.nominalHz', { basis, chosen: [{ ...setting, nominalHz: 0 }] }],
      ['chosen.0.lockDenominator', { basis, chosen: [{ ...setting, lockDenominator: 1.5 }] }],
      ['basis.leftOut.0', { basis: { ...basis, leftOut: [1] }, chosen: [] }],
    ],
  },
  planRisks: { good: { basis, chosen: [] }, bad: [['basis', { chosen: [] }]] },
  planCurve: {
    good: { basis, chosen: [], source: 'DC-A', points: 100 },
    bad: [
      ['points', { basis, chosen: [], source: 'DC-A', points: 1 }],
      ['source', { basis, chosen: [], source: '', points: 100 }],
    ],
  },
  planMap: {
    good: { basis, chosen: [], first: 'A', second: 'B', columns: 10, rows: 10 },
    bad: [['rows', { basis, chosen: [], first: 'A', second: 'B', columns: 10, rows: 5000 }]],
  },
  planMeasured: { good: {}, bad: [['extra', { extra: 1 }]] },
  planList: { good: {}, bad: [['argument', null]] },
  planAdopt: {
    good: { title: 'quieter', basis, chosen: [setting], stateName: null, parentId: null },
    bad: [
      ['title', { title: ' ', basis, chosen: [], stateName: null, parentId: null }],
      ['parentId', { title: 'a', basis, chosen: [], stateName: 'S7', parentId: 0 }],
    ],
  },
  planDrop: { good: { id: 1 }, bad: [['id', { id: 0 }]] },
  gridChoices: { good: {}, bad: [['pointId', { pointId: 1 }]] },
  gridRun: { good: { captureIds: [1], jobId: 'j' }, bad: [['captureIds', { captureIds: [], jobId: 'j' }]] },
  bandPut: {
    good: { band: { ...band, integrationS: 2000, channelResponse: 'hann' }, replaces: null },
    bad: [
      ['band.highHz', { band: { ...band, highHz: 0 }, replaces: null }],
      ['band.channelResponse', { band: { ...band, channelResponse: 'kaiser' }, replaces: null }],
    ],
  },
  bandExport: { good: {}, bad: [['file', { file: 'x' }]] },
  bandRemove: { good: { name: 'low' }, bad: [['name', { name: '' }]] },
  limitList: { good: {}, bad: [['file', { file: 'x' }]] },
  limitImport: { good: { file: 'limits.csv', text: '' }, bad: [['file', { file: '', text: '' }]] },
  limitExport: { good: {}, bad: [['file', { file: 'x' }]] },
  limitAt: {
    good: { name: 'own', frequencyHz: Float64Array.of(1e6) },
    bad: [['frequencyHz', { name: 'own', frequencyHz: [1e6] }]],
  },
  limitRemove: { good: { id: 1 }, bad: [['id', { id: 0 }]] },
  requirementList: { good: {}, bad: [['id', { id: 1 }]] },
  requirementPut: {
    good: requirement,
    bad: [
      ['code', { ...requirement, code: ' ' }],
      ['demand.atLeast', { ...requirement, demand: { kind: 'clean-channels', atLeast: -1, as: 'count' } }],
      ['demand.kind', { ...requirement, demand: { kind: 'quiet' } }],
      ['temperatures.0.lowC', { ...requirement, temperatures: [{ lowC: -300, highC: 20 }] }],
    ],
  },
  requirementImport: { good: { file: 'r.csv', text: '' }, bad: [['file', { file: '', text: '' }]] },
  requirementExport: { good: {}, bad: [['file', { file: 'x' }]] },
  requirementRemove: { good: { id: 1 }, bad: [['id', { id: 1.5 }]] },
  dispositionList: { good: {}, bad: [['id', { id: 1 }]] },
  dispositionPut: {
    good: disposition,
    bad: [
      ['subject.kind', { ...disposition, subject: { kind: 'all' } }],
      ['expiresOn', { ...disposition, expiresOn: 'soon' }],
    ],
  },
  dispositionPutMany: {
    good: { dispositions: [acceptance] },
    bad: [
      ['dispositions', { dispositions: [] }],
      ['dispositions.0.reason', { dispositions: [{ ...acceptance, reason: null }] }],
      ['dispositions.0.id', { dispositions: [disposition] }],
    ],
  },
  dispositionRemove: { good: { id: 1 }, bad: [['id', { id: -1 }]] },
  judgeRun: { good: { stateId: 1, jobId: 'j' }, bad: [['jobId', { stateId: 1, jobId: '' }]] },
  planCheck: { good: { id: 1 }, bad: [['id', {}]] },
  guessScore: {
    good: { captureId: 1, fundamentalHz: 3e5 },
    bad: [['fundamentalHz', { captureId: 1, fundamentalHz: -3e5 }]],
  },
  pageKept: { good: {}, bad: [['more', { more: 1 }]] },
  pageKeep: {
    good: { look: 'dark', place: '{}' },
    bad: [
      ['look', { look: 3 }],
      ['place', { place: null }],
      ['place', { place: 'x'.repeat(20_001) }],
    ],
  },
  registerKey: {
    good: { path: 'a.spurledger' },
    bad: [
      ['path', {}],
      ['path', { path: 'a\0b' }],
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
