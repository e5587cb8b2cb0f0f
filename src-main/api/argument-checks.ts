import * as v from 'valibot';
import { InputError } from '../model/input-problem.ts';
import {
  text,
  name,
  path,
  id,
  ids,
  index,
  finite,
  positive,
  jobId,
  dateTime,
  designator,
  none,
  tableText,
  view,
} from './checks/common.ts';
import { EVIDENCE_CHECKS } from './checks/evidence-checks.ts';
import { PACKET_CHECKS } from './checks/packet-checks.ts';
import { PLAN_CHECKS } from './checks/plan-checks.ts';
import { companions, hints, READING_CHECKS } from './checks/reading-checks.ts';
import { recordingChecks } from './checks/recording-checks.ts';
import { VERDICT_CHECKS } from './checks/verdict-checks.ts';
import { PHOTO_CHECKS } from './checks/photo-checks.ts';
import { SHELL_CHECKS } from './checks/shell-checks.ts';
import { WATERFALL_CHECKS } from './checks/waterfall-checks.ts';
import type { Api, CallName } from './contract.ts';

type Argument<K extends CallName> = Parameters<Api[K]>[0];
type Checks = { readonly [K in CallName]: v.GenericSchema<unknown, Argument<K>> };

const spacing = { spacing: v.exactOptional(v.picklist(['linear', 'logarithmic'])) };
const source = v.strictObject({
  designator,
  kind: v.picklist(['converter', 'clock', 'other']),
  nominalHz: positive,
  tolerancePpm: v.nullable(v.pipe(finite, v.minValue(0))),
  driftPpmPerK: v.nullable(finite),
  spreadPpm: v.nullable(v.pipe(finite, v.minValue(0))),
  lock: v.nullable(v.strictObject({ to: designator, numerator: id, denominator: id })),
  duty: v.nullable(v.pipe(finite, v.minValue(0), v.maxValue(1))),
  riseS: v.nullable(v.pipe(finite, v.minValue(0))),
  maxHarmonic: v.nullable(id),
  adjust: v.nullable(v.strictObject({ lowHz: positive, highHz: positive, stepHz: v.nullable(positive) })),
  fedBy: v.nullable(designator),
  owner: v.picklist(['ours', 'host', 'support', 'facility']),
  serial: text(),
  notes: text(),
});
// While the user types, a form holds values that are not allowed yet: only the shape is checked, sourceCheck says the rest.
// An empty number field may arrive as NaN.
const draftNumber = v.union([v.number(), v.nan()]);
const draftSource = v.strictObject({
  ...source.entries,
  designator: text(200),
  nominalHz: draftNumber,
  tolerancePpm: v.nullable(draftNumber),
  driftPpmPerK: v.nullable(draftNumber),
  spreadPpm: v.nullable(draftNumber),
  lock: v.nullable(v.strictObject({ to: text(200), numerator: draftNumber, denominator: draftNumber })),
  duty: v.nullable(draftNumber),
  riseS: v.nullable(draftNumber),
  maxHarmonic: v.nullable(draftNumber),
  adjust: v.nullable(v.strictObject({ lowHz: draftNumber, highHz: draftNumber, stepHz: v.nullable(draftNumber) })),
  fedBy: v.nullable(text(200)),
});

const role = v.picklist(['item', 'off', 'terminated', 'attenuated']);
const conditionEntries = {
  file: text(4096),
  role,
  point: v.nullable(text(200)),
  state: v.nullable(text(200)),
  mode: v.nullable(text(200)),
  sourcesOn: v.nullable(v.array(designator)),
  sourcesOff: v.nullable(v.array(designator)),
  temperatureC: v.nullable(v.pipe(finite, v.minValue(-273.15))),
  attenuationDb: v.nullable(finite),
  unit: v.nullable(text(40)),
  rbwHz: v.nullable(positive),
  averages: v.nullable(id),
  averaging: v.nullable(v.picklist(['none', 'power', 'log', 'voltage', 'max-hold', 'min-hold', 'unknown'])),
  detector: v.nullable(
    v.picklist(['sample', 'rms', 'average', 'positive-peak', 'negative-peak', 'quasi-peak', 'normal', 'unknown']),
  ),
  gainDb: v.nullable(finite),
  gainState: v.nullable(text(200)),
  load: v.nullable(text(400)),
  operator: v.nullable(text(200)),
  instrument: v.nullable(text(400)),
  calibratedOn: v.nullable(v.pipe(v.string(), v.isoDate())),
  terminatedAt: v.nullable(v.picklist(['analyser', 'probe'])),
  attenuator: v.nullable(v.picklist(['internal', 'external', 'external-corrected'])),
};
const partialCondition = v.strictObject(
  Object.fromEntries(Object.entries(conditionEntries).map(([key, schema]) => [key, v.exactOptional(schema)])) as {
    [K in keyof typeof conditionEntries]: v.ExactOptionalSchema<(typeof conditionEntries)[K], undefined>;
  },
);

const decision = v.strictObject({
  id: v.nullable(id),
  captureId: id,
  frequencyHz: finite,
  kind: v.picklist(['confirm', 'reassign', 'reject', 'note']),
  source: v.nullable(designator),
  harmonic: v.nullable(id),
  note: text(),
  by: text(),
  cause: v.exactOptional(
    v.nullable(
      v.picklist([
        'source',
        'ambiguous',
        'shared',
        'unknown-comb',
        'beat',
        'sideband',
        'ambient',
        'instrument',
        'unexplained',
      ]),
    ),
  ),
});

/**
 * What each call's argument must be, one schema a call; the compiler holds each against the contract. Unknown fields are refused,
 * so that a slip in a name is not silently dropped.
 */
const CHECKS: Checks = {
  ...recordingChecks(partialCondition),
  about: none,
  registerInfo: none,
  registerNew: v.strictObject({ path, title: name }),
  registerOpen: v.strictObject({ path }),
  registerOpenDemo: none,
  registerRecent: none,
  folderList: v.strictObject({ path: v.nullable(path) }),
  undo: none,
  redo: none,
  history: v.strictObject({ limit: v.pipe(id, v.maxValue(1000)), beforeId: v.nullable(id) }),

  captureAdd: v.strictObject({
    file: v.pipe(text(4096), v.minLength(1)),
    bytes: v.instance(Uint8Array),
    jobId,
    companions: v.exactOptional(companions),
    hints: v.exactOptional(hints),
  }),
  captureList: none,
  captureRemove: v.strictObject({ captureIds: ids }),
  captureAssign: v.strictObject({
    captureIds: ids,
    stateId: v.exactOptional(v.nullable(id)),
    pointId: v.exactOptional(v.nullable(id)),
    condition: v.exactOptional(partialCondition),
    role: v.exactOptional(role),
    traceIndex: v.exactOptional(index),
  }),
  traceColumns: v.pipe(
    v.strictObject({ captureId: id, traceIndex: index, ...view, ...spacing }),
    v.check(({ lowHz, highHz }) => lowHz <= highHz, 'expected lowHz at or below highHz'),
  ),
  overlayColumns: v.pipe(
    v.strictObject({ captureIds: ids, combine: v.picklist(['largest', 'mean']), ...view, ...spacing }),
    v.check(({ lowHz, highHz }) => lowHz <= highHz, 'expected lowHz at or below highHz'),
  ),

  triageRun: v.strictObject({ captureId: id, jobId }),
  triageGet: v.strictObject({ captureId: id }),
  compareRun: v.strictObject({
    beforeCaptureIds: ids,
    afterCaptureIds: ids,
    jobId,
    repeats: v.exactOptional(v.picklist(['sweep-to-sweep', 're-rigged'])),
  }),
  cancel: v.strictObject({ jobId }),
  ...EVIDENCE_CHECKS,
  ...PACKET_CHECKS,
  ...PLAN_CHECKS,
  ...READING_CHECKS,
  ...VERDICT_CHECKS,
  ...WATERFALL_CHECKS,
  ...PHOTO_CHECKS,
  ...SHELL_CHECKS,

  sourceList: none,
  sourceCheck: v.strictObject({ source: draftSource, replaces: v.nullable(designator) }),
  sourcePut: v.strictObject({ source, replaces: v.nullable(designator), revision: v.exactOptional(id) }),
  sourceRemove: v.strictObject({ designator }),
  sourceImport: v.strictObject({ file: path, text: tableText, replaceAll: v.boolean() }),
  sourceExport: none,

  bandList: none,
  bandImport: v.strictObject({ file: path, text: tableText }),

  stateList: none,
  statePut: v.strictObject({
    id: v.nullable(id),
    name,
    description: text(),
    parentId: v.nullable(id),
    at: dateTime,
    configuration: v.pipe(
      v.array(v.strictObject({ item: text(), serial: text(), revision: text(), detail: text() })),
      v.maxLength(1000),
    ),
    fix: v.exactOptional(
      v.strictObject({ change: name, sources: v.array(designator), by: text(), at: dateTime, notes: text() }),
    ),
  }),
  stateRemove: v.strictObject({ id }),
  fixList: none,
  fixPut: v.strictObject({
    id: v.nullable(id),
    fromStateId: id,
    toStateId: id,
    change: name,
    sources: v.array(designator),
    by: text(),
    at: dateTime,
    undoneAt: v.nullable(dateTime),
    notes: text(),
  }),
  fixRemove: v.strictObject({ id }),
  pointList: none,
  pointPut: v.strictObject({
    id: v.nullable(id),
    name,
    kind: v.picklist([
      'receiver-port',
      'mains-network',
      'supply-line',
      'current-probe',
      'near-field-probe',
      'antenna',
      'other',
    ]),
    where: text(),
    coupling: text(),
    conductors: text(),
    orientation: text(),
    heightM: v.nullable(finite),
    bonding: text(),
    notes: text(),
  }),
  pointRemove: v.strictObject({ id }),
  eventList: none,
  eventPut: v.strictObject({
    id: v.nullable(id),
    kind: v.picklist(['vibration', 'thermal-vacuum', 'rework', 'transport', 'other']),
    description: name,
    at: dateTime,
    afterStateId: v.nullable(id),
  }),
  eventRemove: v.strictObject({ id }),
  decisionList: v.strictObject({ captureId: id }),
  decisionPut: decision,
  decisionPutMany: v.strictObject({ decisions: v.pipe(v.array(decision), v.minLength(1), v.maxLength(10_000)) }),
};

/**
 * The argument of a call, checked.
 *
 * @throws InputError naming the call, the field, what stood there and what was expected.
 */
export function checkedArgument<K extends CallName>(call: K, argument: unknown): Argument<K> {
  const result = v.safeParse(CHECKS[call], argument);
  if (result.success) return result.output;
  const [issue] = result.issues;
  throw new InputError({
    file: call,
    place: v.getDotPath(issue) ?? 'argument',
    found: shortened(issue.received),
    expected: issue.expected ?? issue.message,
    wayOut: 'Correct this value and try again.',
  });
}

/** True for a name of a call; names inherited from Object are none. */
export function isCallName(call: unknown): call is CallName {
  return typeof call === 'string' && Object.hasOwn(CHECKS, call);
}

function shortened(value: string): string {
  return value.length > 80 ? `${value.slice(0, 80)}…` : value;
}
