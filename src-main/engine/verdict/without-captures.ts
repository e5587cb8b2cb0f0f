import type { Requirement } from '../../model/requirement.ts';
import type { NotShownReason, Verdict } from '../../model/verdict.ts';

/** The verdict where there is nothing to look at: no band, or no such limit. Nothing holds by default. */
export function withoutCaptures(
  requirement: Requirement,
  band: string | null,
  reason: NotShownReason,
  why: string,
): Verdict {
  return {
    requirementId: requirement.id,
    code: requirement.code,
    band,
    limit: requirement.limit,
    isLimitConfirmed: true,
    mode: null,
    temperature: null,
    point: null,
    ruling: 'not shown',
    reason,
    captureIds: [],
    unit: 'unknown',
    found: null,
    foundLow: null,
    foundHigh: null,
    allowed: null,
    margin: null,
    decidedBy: null,
    dispositionIds: [],
    why: `Not shown, ${reason}: ${why}.`,
  };
}
