import * as v from 'valibot';
import { designator, finite, id, jobId, name, none, positive } from './common.ts';

const notNegative = v.pipe(finite, v.minValue(0));

const basis = v.strictObject({
  temperatureSpanK: v.pipe(notNegative, v.maxValue(1000)),
  leakageHz: v.pipe(notNegative, v.maxValue(1e12)),
  offerLocks: v.boolean(),
  seed: v.pipe(v.number(), v.safeInteger(), v.minValue(0)),
  useMeasured: v.boolean(),
  leftOut: v.pipe(v.array(designator), v.maxLength(10_000)),
});
const setting = v.strictObject({
  source: designator,
  nominalHz: positive,
  lockedTo: v.nullable(designator),
  lockNumerator: v.nullable(id),
  lockDenominator: v.nullable(id),
});
const chosen = v.pipe(v.array(setting), v.maxLength(10_000));
// 500 × 500 points take a second or so
const size = v.pipe(v.number(), v.safeInteger(), v.minValue(2), v.maxValue(500));

export const PLAN_CHECKS = {
  planRun: v.strictObject({ basis, quick: v.boolean(), jobId }),
  planTry: v.strictObject({ basis, chosen }),
  planRisks: v.strictObject({ basis, chosen }),
  planCurve: v.strictObject({ basis, chosen, source: designator, points: size }),
  planMap: v.strictObject({ basis, chosen, first: designator, second: designator, columns: size, rows: size }),
  planMeasured: none,
  planList: none,
  planAdopt: v.strictObject({
    title: name,
    basis,
    chosen,
    stateName: v.nullable(name),
    parentId: v.nullable(id),
  }),
  planDrop: v.strictObject({ id }),
  planCheck: v.strictObject({ id }),
  guessScore: v.strictObject({ captureId: id, fundamentalHz: positive }),
};
