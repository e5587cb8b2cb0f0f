import type { Source } from '../../model/source.ts';
import { tolerancePpmOf } from '../../model/source-defaults.ts';
import type { SearchScope } from './comb-support.ts';

/** Where a source's fundamental can lie, following locks to the source that is free. */
export interface SourceRange {
  readonly source: Source;
  readonly nominalHz: number;
  readonly tolerancePpm: number;
  /** Designator of the source at the root of the chain of locks; its own where it is free. */
  readonly root: string;
  /** Fundamental over the root's fundamental. */
  readonly ratio: number;
  readonly scope: SearchScope;
}

/**
 * @param entries how many sources are searched for in all
 * @param axisPpm common error of the frequency axis, which widens every range
 */
export function sourceRanges(sources: readonly Source[], entries: number, axisPpm: number): SourceRange[] {
  const byName = new Map(sources.map((source) => [source.designator, source]));
  return sources.map((source) => {
    let root = source;
    let ratio = 1;
    const visited = new Set([source.designator]);
    while (root.lock !== null) {
      const parent = byName.get(root.lock.to);
      if (parent === undefined || visited.has(parent.designator)) break;
      visited.add(parent.designator);
      ratio *= root.lock.numerator / root.lock.denominator;
      root = parent;
    }
    const nominalHz = root === source ? source.nominalHz : root.nominalHz * ratio;
    const { tolerancePpm } = tolerancePpmOf(root);
    const share = (tolerancePpm + axisPpm) * 1e-6;
    return {
      source,
      nominalHz,
      tolerancePpm,
      root: root.designator,
      ratio,
      scope: {
        lowHz: nominalHz * (1 - share),
        highHz: nominalHz * (1 + share),
        maxHarmonic: source.maxHarmonic ?? Infinity,
        entries,
        mayDrift: root.kind !== 'clock',
      },
    };
  });
}
