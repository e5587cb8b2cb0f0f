import * as v from 'valibot';
import { finite, id, jobId, name, positive } from './common.ts';

const column = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(4096));

export const hints = v.strictObject({
  separator: v.exactOptional(v.picklist([',', ';', '\t', '|', ' '])),
  decimalMark: v.exactOptional(v.picklist(['.', ','])),
  headerLines: v.exactOptional(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(1_000_000))),
  frequencyColumn: v.exactOptional(column),
  levelColumns: v.exactOptional(v.pipe(v.array(column), v.minLength(1), v.maxLength(256))),
  frequencyFactor: v.exactOptional(positive),
  unit: v.exactOptional(name),
  axisIs: v.exactOptional(v.picklist(['frequency', 'time'])),
  sampleRateHz: v.exactOptional(positive),
  centreHz: v.exactOptional(finite),
  startHz: v.exactOptional(finite),
  stepHz: v.exactOptional(positive),
  twoChannelsAre: v.exactOptional(v.picklist(['iq', 'channels'])),
});
export const companions = v.pipe(
  v.array(v.strictObject({ file: name, bytes: v.instance(Uint8Array<ArrayBufferLike>) })),
  v.maxLength(20),
);

export const READING_CHECKS = {
  readingPreview: v.strictObject({
    file: name,
    bytes: v.instance(Uint8Array<ArrayBufferLike>),
    companions: v.exactOptional(companions),
    hints,
    jobId,
  }),
  rowsOverTime: v.strictObject({
    captureId: id,
    rows: v.pipe(id, v.maxValue(2000)),
    columns: v.pipe(id, v.maxValue(4000)),
    jobId,
  }),
  readingRemember: v.strictObject({ layoutKey: name, hints: v.nullable(hints) }),
};
