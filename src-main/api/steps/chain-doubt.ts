import type { SideSpur } from '../../model/track.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import { nearestIndex } from '../../engine/tracking/side-trace.ts';
import type { Spur } from '../../model/spur.ts';
import type { ChainDoubt } from '../contract.ts';
import type { Session } from '../session.ts';
import { tablesOf } from './calibrated-trace.ts';

/** What a capture's chain and transfer add to the doubt of each spur's level; null where it has none. */
export function chainDoubt(
  session: Session,
  captureId: number,
  traceIndex: number,
  spurs: readonly Pick<Spur, 'frequencyHz'>[],
): ChainDoubt | null {
  const capture = session.register.captures.get(captureId);
  const tables = tablesOf(session.register, capture.calibration);
  if (tables.length === 0) return null;
  const { trace, sigmaDb } = session.calibrated(capture, traceIndex);
  const unstated = tables.filter(({ uncertaintyDb }) => uncertaintyDb === null).map(({ name }) => name);
  return {
    sigmaDb: spurs.map(({ frequencyHz }) => sigmaDb[nearestIndex(trace.frequencyHz, frequencyHz)]!),
    unstated,
    isStated: unstated.length < tables.length,
  };
}

/** The same of the spurs of one side of a comparison, each by the capture it was taken from; nothing where none has a chain. */
export function sideChainDoubt(
  session: Session,
  captures: readonly StoredCapture[],
  spurs: readonly SideSpur[],
): { readonly chainSigmaDb?: readonly number[] } {
  if (captures.every(({ calibration }) => tablesOf(session.register, calibration).length === 0)) return {};
  const through = captures.map((capture) => session.calibrated(capture, capture.traceIndex));
  return {
    chainSigmaDb: spurs.map(({ fileIndex, frequencyHz }) => {
      const { trace, sigmaDb } = through[fileIndex]!;
      return sigmaDb[nearestIndex(trace.frequencyHz, frequencyHz)]!;
    }),
  };
}
