import { applyChain, isChainRefused, type Calibrated } from '../../engine/calibration/apply-chain.ts';
import type { CalibrationTable } from '../../model/calibration.ts';
import { levelMeaning, type LevelMeaning } from '../../model/level-meaning.ts';
import type { MeasuringPoint } from '../../model/measuring-point.ts';
import type { Trace } from '../../model/trace.ts';
import type { TraceChain } from '../../model/triaged-trace.ts';
import type { CaptureCalibration, StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';
import { Refused } from '../api-problem.ts';

/** The tables that a capture's levels are taken through, in order; the transfer to the receiver's input comes last. */
export function tablesOf(register: Register, calibration: CaptureCalibration | undefined): readonly CalibrationTable[] {
  if (calibration === undefined) return [];
  const chain = calibration.chainId === null ? null : register.chains.get(calibration.chainId);
  const transfer = calibration.transferId === null ? null : register.transfers.get(calibration.transferId);
  const tables = (chain?.tableIds ?? []).flatMap((id) => register.calibrations.get(id) ?? []);
  if (transfer === null) return tables;
  const { version, frequencyHz, valueDb, uncertaintyDb, units, source, date } = transfer;
  return [
    ...tables,
    {
      id: transfer.id,
      name: `transfer to the receiver, version ${version}`,
      kind: 'transducer',
      frequencyHz,
      valueDb,
      uncertaintyDb,
      units,
      source,
      date,
      dueOn: null,
    },
  ];
}

/**
 * A trace through the capture's chain and transfer; untouched where it has none.
 *
 * @throws Refused where the chain does not fit the trace, saying why and the way out
 */
export function calibratedTrace(
  register: Register,
  { calibration, file }: Pick<StoredCapture, 'calibration' | 'file'>,
  trace: Trace,
): Calibrated {
  const tables = tablesOf(register, calibration);
  if (tables.length === 0) {
    return { trace, sigmaDb: new Float64Array(trace.level.length), isFactored: false, warnings: [] };
  }
  const applied = applyChain(trace, tables);
  if (!isChainRefused(applied)) return applied;
  throw new Refused(
    `The calibration chain of ${file} does not fit: found ${applied.found}; expected ${applied.expected}. ${applied.wayOut}`,
  );
}

/** What a comparison needs of the tables that a trace went through; nothing where there are none. */
export function chainOf(tables: readonly CalibrationTable[], sigmaDb: Float64Array): { readonly chain?: TraceChain } {
  if (tables.length === 0) return {};
  return {
    chain: {
      key: JSON.stringify(
        tables.map(({ kind, frequencyHz, valueDb, uncertaintyDb, name, date }) => [
          name,
          date,
          kind,
          frequencyHz,
          valueDb,
          uncertaintyDb,
        ]),
      ),
      name: tables.map(({ name }) => name).join(' → '),
      sigmaDb: largestOf(sigmaDb),
    },
  };
}

/** A point outside a table has no doubt of its own, nor a level. */
function largestOf(sigmaDb: Float64Array): number {
  return sigmaDb.reduce((most, one) => (one > most ? one : most), 0);
}

/** Whether a capture's levels may be held against a limit; see model/level-meaning.ts. */
export function meaningOf(
  register: Register,
  capture: StoredCapture,
  { trace }: Pick<Calibrated, 'trace'>,
): LevelMeaning {
  const point: MeasuringPoint | null = capture.pointId === null ? null : register.points.get(capture.pointId);
  const transferId = capture.calibration?.transferId ?? null;
  const isProbe = tablesOf(register, capture.calibration).some(
    ({ kind, id }) => (kind === 'transducer' || kind === 'probe') && id !== transferId,
  );
  return levelMeaning({
    pointKind: point?.kind ?? null,
    unit: trace.unit,
    isFactored: isProbe,
    transferVersion: transferId === null ? null : (register.transfers.get(transferId)?.version ?? null),
  });
}
