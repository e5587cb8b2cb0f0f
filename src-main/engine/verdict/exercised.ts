import type { Source } from '../../model/source.ts';
import { goingOff } from '../../model/source-tree.ts';
import type { JudgedCapture } from './judged-capture.ts';

/**
 * Did a source run while a capture was taken? Yes where a comb or a line was found that it alone explains, or the conditions name it as
 * on and nothing says that it, or what feeds it, was off.
 */
export function ranIn(source: Source, { triaged }: JudgedCapture, sources: readonly Source[]): boolean {
  const { explanations, combs } = triaged.triage;
  const name = source.designator;
  if (combs.some((comb) => comb.source === name && comb.couldAlsoBe.length === 0)) return true;
  if (explanations.some(({ cause, candidates }) => cause === 'source' && candidates[0]?.source === name)) return true;
  const { condition } = triaged;
  if (condition === null || !(condition.sourcesOn ?? []).includes(name)) return false;
  return !goingOff(condition.sourcesOff ?? [], sources).includes(name);
}

/** Can a source put a line into a range of frequencies at all? Its fundamental must not lie above it, nor its last harmonic below. */
export function canReach(source: Source, lowHz: number, highHz: number): boolean {
  if (source.nominalHz > highHz * 1.2) return false;
  return source.maxHarmonic === null || source.nominalHz * source.maxHarmonic * 1.2 >= lowHz;
}
