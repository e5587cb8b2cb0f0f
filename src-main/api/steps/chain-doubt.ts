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
