import type { CompareSettings } from '../../model/compare-settings.ts';
import { tolerancePpmOf } from '../../model/source-defaults.ts';
import type { Source } from '../../model/source.ts';

/** The source that sets the frequency of another: the end of its chain of locks; itself where it runs freely. A cycle ends where it closes. */
export function clockedBy(source: Source, sources: readonly Source[]): Source {
  const visited = new Set<string>();
  let at = source;
  while (at.lock !== null && !visited.has(at.designator)) {
    visited.add(at.designator);
    const next = sources.find((entry) => entry.designator === at.lock!.to);
    if (next === undefined) break;
    at = next;
  }
  return at;
}

/**
 * How far the lines of a source may have moved between two captures, relative: the whole width of its tolerance, but no more than a
 * free-running source moves. Unknown combs and lines (null) count as free-running: nobody said that anything binds them.
 */
export function largestMove(name: string | null, sources: readonly Source[], settings: CompareSettings): number {
  const free = settings.freeRunningDriftPpm * 1e-6;
  const source = sources.find((entry) => entry.designator === name);
  if (source === undefined) return free;
  const { tolerancePpm } = tolerancePpmOf(clockedBy(source, sources));
  const spread = (source.spreadPpm ?? 0) * 0.5e-6;
  return Math.max(3e-6 * settings.stableDriftPpm, Math.min(free, 2e-6 * tolerancePpm + spread));
}

/** Designators that are off when `off` are: with everything they feed, directly or through others. */
export function offWithChildren(off: readonly string[], sources: readonly Source[]): Set<string> {
  const all = new Set(off);
  for (let grown = true; grown;) {
    grown = false;
    for (const source of sources) {
      if (source.fedBy !== null && all.has(source.fedBy) && !all.has(source.designator)) {
        all.add(source.designator);
        grown = true;
      }
    }
  }
  return all;
}
