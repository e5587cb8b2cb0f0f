import type { LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';

/** Where a comb's harmonics lie, a drift of the fundamental during the sweep included. */
export interface Drift {
  hzOf(harmonic: number): number;
}

/**
 * Reads the drift of a claimed comb back from the places that its lines were predicted at: predicted over n·f0 is a straight line in
 * frequency. Without two lines, or without a drift, the plain multiples.
 */
export function driftOf(
  { source, couldAlsoBe, fundamentalHz, chance }: Comb,
  explanations: readonly LineExplanation[],
): Drift {
  let low: { x: number; share: number } | null = null;
  let high: { x: number; share: number } | null = null;
  for (const { candidates } of explanations)
    for (const candidate of candidates) {
      const own =
        candidate.source === null
          ? source === null && couldAlsoBe.length === 0
          : candidate.source === source || couldAlsoBe.includes(candidate.source);
      if (!own || candidate.chance !== chance) continue;
      const x = candidate.harmonic * fundamentalHz;
      const share = candidate.predictedHz / x - 1;
      // a candidate of another fit of the same name
      if (Math.abs(share) > LARGEST_DRIFT) continue;
      if (low === null || x < low.x) low = { x, share };
      if (high === null || x > high.x) high = { x, share };
    }
  if (low === null || high === null || high.x === low.x) return { hzOf: (n) => n * fundamentalHz };
  const slope = (high.share - low.share) / (high.x - low.x);
  const at = low;
  return {
    hzOf: (n) => n * fundamentalHz * (1 + at.share + slope * (n * fundamentalHz - at.x)),
  };
}

/** Largest relative drift of a fundamental within one sweep, as the comb fit allows it. */
const LARGEST_DRIFT = 1e-3;
