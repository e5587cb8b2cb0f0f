import * as v from 'valibot';
import { finite, id, ids, index, jobId, name, none, path, positive, tableText, text } from './common.ts';

const settings = v.strictObject({
  window: v.picklist([
    'rectangular',
    'hann',
    'hamming',
    'blackman',
    'exact-blackman',
    'blackman-harris',
    'nuttall',
    'flat-top',
  ]),
  rbwHz: v.nullable(positive),
  overlap: v.pipe(finite, v.minValue(0), v.maxValue(0.95)),
  fromS: v.pipe(finite, v.minValue(0)),
  toS: v.nullable(positive),
  centreHz: v.nullable(finite),
  voltsPerUnit: v.nullable(positive),
  impedanceOhm: v.nullable(positive),
});
const spectrum = { captureId: id, recording: index, channel: index, settings, jobId };

// a table of a million rows is far beyond any certificate
const column = v.pipe(v.array(finite), v.minLength(1), v.maxLength(1_000_000));
const units = v.strictObject({ from: name, to: name });
const day = v.pipe(v.string(), v.isoDate());
const curve = {
  frequencyHz: column,
  valueDb: column,
  uncertaintyDb: v.nullable(column),
  axis: v.exactOptional(v.literal('offset')),
};
const table = {
  name,
  kind: v.picklist(['transducer', 'probe', 'gain', 'loss', 'attenuation', 'channel']),
  gainState: v.exactOptional(v.nullable(text(200))),
  units: v.nullable(units),
  source: text(),
  date: day,
  dueOn: v.nullable(day),
};
const format = v.picklist(['csv', 'json']);
const what = v.variant('of', [
  v.strictObject({ of: v.literal('trace'), captureId: id, as: format }),
  v.strictObject({ of: v.literal('spurs'), captureId: id, as: format }),
  v.strictObject({ of: v.literal('plot'), captureId: id, as: v.literal('svg'), lowHz: finite, highHz: finite }),
  v.strictObject({ of: v.literal('annotations'), captureId: id, as: v.literal('sigmf-meta') }),
  v.strictObject({ of: v.literal('sources'), as: format }),
  v.strictObject({
    of: v.literal('tracks'),
    beforeCaptureIds: ids,
    afterCaptureIds: ids,
    repeats: v.exactOptional(v.picklist(['sweep-to-sweep', 're-rigged'])),
    as: format,
  }),
]);

/** @param partialCondition what a condition may state, every field optional */
export function recordingChecks<C extends v.GenericSchema>(partialCondition: C) {
  return {
    recordingList: v.strictObject({ captureId: id }),
    spectrumPlan: v.strictObject({ captureId: id, recording: index, settings }),
    spectrumRun: v.strictObject({
      ...spectrum,
      gated: v.exactOptional(v.strictObject({ which: v.picklist(['on', 'quiet']), stepS: positive })),
    }),
    timeStructure: v.strictObject({ captureId: id, recording: index, channel: index, stepS: positive, jobId }),
    timeAgreement: v.strictObject({
      captureId: id,
      recording: index,
      channel: index,
      stepS: positive,
      file: path,
      text: tableText,
      offsetS: finite,
      jobId,
    }),
    waterfallRun: v.strictObject({
      ...spectrum,
      rows: v.pipe(id, v.maxValue(2000)),
      columns: v.pipe(id, v.maxValue(4000)),
    }),
    calibrationList: none,
    calibrationPut: v.strictObject({ ...table, ...curve, id: v.nullable(id) }),
    calibrationRemove: v.strictObject({ id }),
    calibrationImport: v.strictObject({ ...table, file: path, bytes: v.instance(Uint8Array) }),
    chainList: none,
    chainPut: v.strictObject({
      id: v.nullable(id),
      name,
      tableIds: v.pipe(v.array(id), v.maxLength(100)),
      notes: text(),
    }),
    chainRemove: v.strictObject({ id }),
    chainCheckTone: v.strictObject({
      captureId: id,
      frequencyHz: positive,
      levelDb: finite,
      sigmaDb: v.pipe(finite, v.minValue(0)),
    }),
    transferList: v.strictObject({ pointId: id }),
    transferAdd: v.strictObject({ pointId: id, ...curve, units, source: text(), date: day }),
    transferImport: v.strictObject({
      pointId: id,
      units,
      source: text(),
      date: day,
      file: path,
      bytes: v.instance(Uint8Array),
    }),
    captureCalibrate: v.strictObject({ captureIds: ids, chainId: v.nullable(id), transferId: v.nullable(id) }),
    captureMeaning: v.strictObject({ captureId: id }),
    fitToCompare: v.strictObject({
      beforeCaptureIds: v.pipe(v.array(id), v.maxLength(10_000)),
      afterCaptureIds: v.pipe(v.array(id), v.maxLength(10_000)),
    }),
    watchList: none,
    watchPut: v.strictObject({
      id: v.nullable(id),
      path,
      stateId: v.nullable(id),
      pointId: v.nullable(id),
      condition: partialCondition,
      compareWith: v.pipe(v.array(id), v.maxLength(1000)),
      isOn: v.boolean(),
    }),
    watchRemove: v.strictObject({ id }),
    exportRun: v.strictObject({ what, jobId }),
  };
}
