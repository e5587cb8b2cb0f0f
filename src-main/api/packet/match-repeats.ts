import type { Recheck } from '../../model/recheck.ts';
import type { StoredCapture } from '../../register/capture-store.ts';

type Taken = Pick<StoredCapture, 'id' | 'stateId' | 'pointId' | 'condition'>;

/**
 * A re-check with the captures that repeat its baseline: those named by hand, else every capture of the re-check's state at the same
 * point, in the same mode and role. Captures that are no longer there are left out.
 */
export function withRepeats(recheck: Recheck, captures: readonly Taken[]): Recheck {
  const byId = new Map(captures.map((capture) => [capture.id, capture]));
  return {
    ...recheck,
    items: recheck.items.map((item) => {
      const named = item.repeatedBy.filter((id) => byId.has(id));
      const baseline = byId.get(item.baselineCaptureId);
      if (named.length > 0 || baseline === undefined || recheck.stateId === null) return { ...item, repeatedBy: named };
      const alike = captures.filter(
        (capture) =>
          capture.stateId === recheck.stateId &&
          capture.id !== baseline.id &&
          capture.pointId === baseline.pointId &&
          capture.condition.mode === baseline.condition.mode &&
          capture.condition.role === baseline.condition.role &&
          isAsWarm(capture, baseline),
      );
      return { ...item, repeatedBy: alike.map(({ id }) => id) };
    }),
  };
}

/** Of several baseline captures at different temperatures each is repeated at its own; 10 K as for captures that count as alike. */
function isAsWarm(capture: Taken, baseline: Taken): boolean {
  const [a, b] = [capture.condition.temperatureC, baseline.condition.temperatureC];
  return a === null || b === null || Math.abs(a - b) <= 10;
}
