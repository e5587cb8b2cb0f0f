import * as v from 'valibot';
import { dateTime, designator, finite, id, ids, jobId, name, none, path, positive, tableText, text } from './common.ts';

const words = v.pipe(v.array(name), v.maxLength(1000));
const celsius = v.pipe(finite, v.minValue(-273.15), v.maxValue(1000));
const temperature = v.strictObject({ lowC: celsius, highC: celsius });

const band = v.strictObject({
  name,
  lowHz: v.pipe(finite, v.minValue(0)),
  highHz: positive,
  channelHz: v.nullable(positive),
  channelOriginHz: v.nullable(v.pipe(finite, v.minValue(0))),
  allowedOverFloorDb: v.nullable(finite),
  allowedLevel: v.nullable(finite),
  allowedUnit: v.nullable(text(40)),
  weight: v.pipe(finite, v.minValue(0)),
  sampleRateHz: v.nullable(positive),
  localOscillatorHz: v.nullable(v.pipe(finite, v.minValue(0))),
  zone: v.exactOptional(v.nullable(id)),
  integrationS: v.exactOptional(v.nullable(positive)),
  channelResponse: v.exactOptional(
    v.nullable(v.picklist(['sharp', 'rectangular', 'hann', 'hamming', 'blackman-harris', 'flat-top'])),
  ),
  imageRejectionDb: v.exactOptional(v.nullable(v.pipe(finite, v.minValue(0)))),
});

const demand = v.variant('kind', [
  v.strictObject({ kind: v.literal('strongest-line') }),
  v.strictObject({
    kind: v.literal('clean-channels'),
    atLeast: v.pipe(finite, v.minValue(0)),
    as: v.picklist(['count', 'share']),
  }),
]);

const subject = v.variant('kind', [
  v.strictObject({
    kind: v.literal('line'),
    source: v.nullable(designator),
    harmonic: v.nullable(id),
    frequencyHz: positive,
    levelDb: finite,
    levelSigmaDb: v.pipe(finite, v.minValue(0)),
    unit: text(40),
  }),
  v.strictObject({ kind: v.literal('not-exercised'), source: designator }),
  v.strictObject({ kind: v.literal('changed-item'), item: name, fromSerial: text(400), toSerial: text(400) }),
]);

const acceptance = {
  subject,
  reason: text(),
  approver: text(200),
  scope: v.strictObject({
    serials: words,
    modes: words,
    bands: words,
    points: words,
    temperature: v.nullable(temperature),
  }),
  fromStateId: v.nullable(id),
  untilStateId: v.nullable(id),
  expiresOn: v.nullable(dateTime),
};

export const VERDICT_CHECKS = {
  gridChoices: none,
  gridRun: v.strictObject({ captureIds: ids, jobId }),

  bandPut: v.strictObject({ band, replaces: v.nullable(name) }),
  bandExport: none,
  bandRemove: v.strictObject({ name }),

  limitList: none,
  limitImport: v.strictObject({ file: path, text: tableText }),
  limitExport: none,
  limitAt: v.strictObject({ name, frequencyHz: v.instance(Float64Array) }),
  limitRemove: v.strictObject({ id }),

  requirementList: none,
  requirementPut: v.strictObject({
    id: v.nullable(id),
    code: name,
    text: text(),
    bands: words,
    demand,
    limit: v.nullable(name),
    modes: words,
    temperatures: v.pipe(v.array(temperature), v.maxLength(100)),
    points: words,
  }),
  requirementImport: v.strictObject({ file: path, text: tableText }),
  requirementExport: none,
  requirementRemove: v.strictObject({ id }),

  dispositionList: none,
  dispositionPut: v.strictObject({ id: v.nullable(id), ...acceptance }),
  dispositionPutMany: v.strictObject({
    dispositions: v.pipe(v.array(v.strictObject(acceptance)), v.minLength(1), v.maxLength(10_000)),
  }),
  dispositionRemove: v.strictObject({ id }),

  judgeRun: v.strictObject({ stateId: id, jobId }),
};
