import type { BandLine } from './band-lines.ts';

/** Who spoils one channel. Keys: a designator, `comb 733.41 kHz` for an unknown comb, `` for nobody. */
export interface ChannelOwners {
  /** Every owner or possible owner of a line that exceeds here. */
  readonly owners: readonly string[];
  /** The one owner that, silenced, gives the channel back; null where several, or one of several candidates, spoil it. */
  readonly sole: string | null;
}

export const NOBODY = '';

/** Two combs whose fundamentals differ by less than this are one: about what a free-running source moves between captures. */
const SAME_COMB = 2e-3;

/** Gives unknown combs one name over several captures: lines name only harmonic and place, so the fundamental tells. */
export class CombNames {
  readonly #known: { readonly fundamentalHz: number; readonly name: string }[] = [];

  of(fundamentalHz: number): string {
    const known = this.#known.find((one) => Math.abs(one.fundamentalHz / fundamentalHz - 1) < SAME_COMB);
    if (known !== undefined) return known.name;
    const name = `unknown comb ${Number((fundamentalHz / 1e3).toPrecision(5))} kHz`;
    this.#known.push({ fundamentalHz, name });
    return name;
  }
}

/** The possible owners of one line, and whether all of them are meant (shared) or one of them (ambiguous). */
export function ownersOf({ explanation: { cause, candidates } }: BandLine, combs: CombNames): readonly string[] {
  if (cause === 'unexplained' || candidates.length === 0) return [NOBODY];
  const names = candidates.map(({ source, predictedHz, harmonic }) => source ?? combs.of(predictedHz / harmonic));
  return cause === 'source' || cause === 'unknown-comb' ? [names[0]!] : [...new Set(names)];
}

/** @param lines those that exceed in one channel, of all captures */
export function channelOwners(lines: readonly BandLine[], combs: CombNames): ChannelOwners {
  const owners = new Set<string>();
  let isClear = true;
  for (const line of lines) {
    const names = ownersOf(line, combs);
    if (names.length > 1) isClear = false;
    for (const name of names) owners.add(name);
  }
  const all = [...owners];
  return { owners: all, sole: isClear && all.length === 1 ? all[0]! : null };
}
