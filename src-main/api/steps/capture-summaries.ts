import type { Register } from '../../register/register.ts';
import type { CaptureSummary } from '../contract.ts';

/** All captures as the page sees them. */
export function captureSummaries({ captures, results }: Register): CaptureSummary[] {
  return captures.list().map((capture) => ({ ...capture, spurs: results.spurCount(capture.id, capture.traceIndex) }));
}
