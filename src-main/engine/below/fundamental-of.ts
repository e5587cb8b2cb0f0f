import type { Comb } from '../../model/comb.ts';
import type { Source } from '../../model/source.ts';
import { tolerancePpmOf } from '../../model/source-defaults.ts';
import { lockChain } from '../../model/source-tree.ts';

/** What is known of a source's fundamental before anything is stacked. */
export type Fundamental =
  | { readonly how: 'lock'; readonly hz: number; readonly sigmaHz: number; readonly by: string }
  | { readonly how: 'range'; readonly lowHz: number; readonly highHz: number };

/**
 * A source without a comb of its own: where its lock puts it, if the comb of another source on the same chain of locks is claimed, else
 * its tolerance about nominal, widened by the error of the frequency axis.
 */
export function fundamentalOf(
  source: Source,
  sources: readonly Source[],
  combs: readonly Comb[],
  axisPpm: number,
): Fundamental {
  const own = rooted(source, sources);
  for (const comb of combs) {
    const owner = sources.find((other) => other.designator === comb.source);
    if (owner === undefined) continue;
    const other = rooted(owner, sources);
    if (other.root !== own.root) continue;
    const ratio = own.ratio / other.ratio;
    return {
      how: 'lock',
      hz: comb.fundamentalHz * ratio,
      sigmaHz: comb.fundamentalSigmaHz * ratio,
      by: owner.designator,
    };
  }
  const nominalHz = own.root === source ? source.nominalHz : own.root.nominalHz * own.ratio;
  const share = 1e-6 * (tolerancePpmOf(own.root).tolerancePpm + axisPpm);
  return { how: 'range', lowHz: nominalHz * (1 - share), highHz: nominalHz * (1 + share) };
}

function rooted(source: Source, sources: readonly Source[]): { root: Source; ratio: number } {
  const chain = lockChain(source, sources);
  let ratio = 1;
  for (const { lock } of chain.slice(0, -1)) ratio *= lock!.numerator / lock!.denominator;
  return { root: chain.at(-1)!, ratio };
}
