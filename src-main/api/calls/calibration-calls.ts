import { checkKnownTone } from '../../engine/calibration/known-tone.ts';
import type { CalibrationTable } from '../../model/calibration.ts';
import { InputError } from '../../model/input-problem.ts';
import { textBytes, decode } from '../../readers/delimited/text.ts';
import { readCapture } from '../../readers/read-capture.ts';
import { readCalibrationTable, type CalibrationCurve } from '../../readers/tables/calibration-table.ts';
import type { ApiParts } from '../api-parts.ts';
import { Refused } from '../api-problem.ts';
import type { RecordingCalls } from '../contract/recording-calls.ts';
import { meaningOf } from '../steps/calibrated-trace.ts';
import { captureSummaries } from '../steps/capture-summaries.ts';
import { mustBeThere } from '../steps/must-be-there.ts';
import { nearestIndex } from '../../engine/tracking/side-trace.ts';

type Calls = Pick<
  RecordingCalls,
  | 'calibrationList'
  | 'calibrationPut'
  | 'calibrationRemove'
  | 'calibrationImport'
  | 'chainList'
  | 'chainPut'
  | 'chainRemove'
  | 'chainCheckTone'
  | 'transferList'
  | 'transferAdd'
  | 'transferImport'
  | 'captureCalibrate'
  | 'captureMeaning'
>;

/** Calibration tables, chains of them, transfers of points to the receiver's input, and what they do to captures. */
export function calibrationCalls({ session }: ApiParts): Calls {
  const register = () => session.register;
  /** Does a change, tells the page, and answers with what the change gave. */
  const change = <T>(subject: string, act: () => T): Promise<T> => {
    const result = act();
    session.changed([subject, 'triage']);
    return Promise.resolve(result);
  };
  const latestVersion = (pointId: number): number =>
    register()
      .transfers.list()
      .filter((transfer) => transfer.pointId === pointId)
      .reduce((latest, { version }) => Math.max(latest, version), 0);
  const nextTransfer: RecordingCalls['transferAdd'] = (transfer) => {
    mustBeThere(register().points, transfer.pointId, 'point');
    const version = latestVersion(transfer.pointId) + 1;
    const by = session.settings.who;
    return change('transfer', () => register().transfers.put(null, { ...transfer, version, by }));
  };
  return {
    calibrationList: () => Promise.resolve(register().calibrations.list()),
    calibrationPut: ({ id, ...table }) => change('calibration', () => register().calibrations.put(id, table)),
    calibrationRemove: ({ id }) => change('calibration', () => register().calibrations.remove(id)),
    calibrationImport({ file, bytes, ...table }) {
      const curve = curveOf(bytes, file, table.kind);
      return change('calibration', () => register().calibrations.put(null, { ...table, ...curve }));
    },
    chainList: () => Promise.resolve(register().chains.list()),
    chainPut: ({ id, ...chain }) => change('chain', () => register().chains.put(id, chain)),
    chainRemove: ({ id }) => change('chain', () => register().chains.remove(id)),
    chainCheckTone({ captureId, frequencyHz, levelDb, sigmaDb }) {
      const capture = register().captures.get(captureId);
      const { trace, sigmaDb: chainSigma } = session.calibrated(capture, capture.traceIndex);
      const triage = session.triage(capture)?.triage ?? null;
      const reading = readingAt(trace, triage?.spurs ?? [], frequencyHz);
      if (reading === null)
        throw new Refused(
          `The capture has no level at ${frequencyHz} Hz: the tone must lie within its span and its tables.`,
        );
      const checked = checkKnownTone({ frequencyHz, levelDb, sigmaDb }, reading, chainSigma[reading.index] ?? 0);
      return Promise.resolve({ readDb: reading.levelDb, unit: trace.unit.name, ...checked });
    },
    transferList: ({ pointId }) =>
      Promise.resolve(
        register()
          .transfers.list()
          .filter((transfer) => transfer.pointId === pointId),
      ),
    transferAdd: nextTransfer,
    transferImport({ file, bytes, ...transfer }) {
      // what is added to a level is a gain: a loss in the file turns its sign
      const { axis, ...curve } = curveOf(bytes, file, 'gain');
      if (axis === undefined) return nextTransfer({ ...transfer, ...curve });
      throw new Refused(`${file} is against the offset from a tuned frequency; a transfer is against frequency.`);
    },
    captureCalibrate({ captureIds, chainId, transferId }) {
      mustBeThere(register().chains, chainId, 'chain');
      mustBeThere(register().transfers, transferId, 'transfer');
      const { captures } = register();
      return change('capture', () =>
        register().step(() => {
          captures.assign(captureIds, { calibration: { chainId, transferId } });
          // a chain that does not fit one of them is refused before anything is kept
          for (const id of captureIds) {
            const capture = captures.get(id);
            session.calibrated(capture, capture.traceIndex);
          }
          return captureSummaries(register()).filter(({ id }) => captureIds.includes(id));
        }),
      );
    },
    captureMeaning({ captureId }) {
      const capture = register().captures.get(captureId);
      const calibrated = session.calibrated(capture, capture.traceIndex);
      const { trace, warnings } = calibrated;
      return Promise.resolve({ meaning: meaningOf(register(), capture, calibrated), unit: trace.unit.name, warnings });
    },
  };
}

/** Level of a tone: the spur's where one was found there, else the highest point within two points of it. */
function readingAt(
  trace: { readonly frequencyHz: Float64Array; readonly level: Float64Array },
  spurs: readonly {
    readonly frequencyHz: number;
    readonly levelDb: number;
    readonly levelSigmaDb: number;
    readonly firstIndex: number;
    readonly lastIndex: number;
  }[],
  toneHz: number,
): { levelDb: number; sigmaDb: number; index: number } | null {
  const { frequencyHz, level } = trace;
  if (!(toneHz >= frequencyHz[0]! && toneHz <= frequencyHz.at(-1)!)) return null;
  const index = nearestIndex(frequencyHz, toneHz);
  const spur = spurs.find(({ firstIndex, lastIndex }) => firstIndex <= index && index <= lastIndex);
  if (spur !== undefined) return { levelDb: spur.levelDb, sigmaDb: spur.levelSigmaDb, index };
  let levelDb = -Infinity;
  for (let i = Math.max(0, index - 2); i <= Math.min(level.length - 1, index + 2); i++)
    if (level[i]! > levelDb) levelDb = level[i]!;
  return Number.isFinite(levelDb) ? { levelDb, sigmaDb: 0, index } : null;
}

/** A table of rows, or the forward gain of a network parameter file with the sign that the kind of stage asks for. */
function curveOf(bytes: Uint8Array, file: string, kind: CalibrationTable['kind']): CalibrationCurve {
  const { bytes: plain, encoding } = textBytes(bytes, file);
  const text = decode(plain, 0, plain.length, encoding);
  if (/^\W*(frequency_hz|offset_hz|value_db)\b/i.test(text)) return readCalibrationTable(text, file).rows[0]!;
  const { tables = [] } = readCapture(bytes, file);
  const table =
    tables.find((candidate) => candidate.kind === 'gain') ?? tables.find(({ kind: k }) => k !== 'reflection');
  if (table === undefined)
    throw new InputError({
      file,
      place: 'whole file',
      found: 'no table of a gain, loss or factor',
      expected: 'rows of frequency_hz, value_db (and uncertainty_db), or a two-port network parameter file',
      wayOut: 'Name the columns in the first line.',
    });
  const turns =
    (table.kind === 'gain') !== (kind === 'gain' || kind === 'channel') &&
    table.kind !== 'factor' &&
    kind !== 'transducer' &&
    kind !== 'probe';
  // a table starts above 0 Hz: there is no logarithm of 0
  const first = table.frequencyHz[0] === 0 ? 1 : 0;
  return {
    frequencyHz: [...table.frequencyHz.subarray(first)],
    valueDb: [...table.valueDb.subarray(first)].map((db) => (turns ? -db : db)),
    uncertaintyDb: table.uncertaintyDb === null ? null : [...table.uncertaintyDb.subarray(first)],
  };
}
