import type { SourceEntry } from '../../src-main/api/contract.ts';
import type { Candidate, LineExplanation } from '../../src-main/model/attribution.ts';
import type { Comb } from '../../src-main/model/comb.ts';

/** How one owner of a comb is shown: letter, name, and its tint (null: ink and paper only, since no name means no hue). */
export interface OwnerLook {
  readonly key: string;
  readonly letter: string;
  readonly name: string;
  readonly tint: number | null;
  readonly stripe: boolean;
}

/** Looks up letters and tints of sources, and gives the combs nobody owns their names u1, u2 … in order of frequency. */
export class SourceNames {
  readonly #bySource = new Map<string, OwnerLook>();
  readonly unknownCombs: readonly Comb[];

  constructor(sources: readonly SourceEntry[], combs: readonly Comb[]) {
    for (const { source, letter, order } of sources) {
      this.#bySource.set(source.designator, {
        key: source.designator,
        letter,
        name: source.designator,
        tint: (order % 5) + 1,
        stripe: order >= 5,
      });
    }
    this.unknownCombs = combs
      .filter((comb) => comb.source === null)
      .toSorted((a, b) => a.fundamentalHz - b.fundamentalHz);
  }

  source(designator: string): OwnerLook {
    return (
      this.#bySource.get(designator) ?? {
        key: designator,
        letter: designator,
        name: designator,
        tint: null,
        stripe: false,
      }
    );
  }

  unknown(comb: Comb): OwnerLook {
    const letter = `u${this.unknownCombs.indexOf(comb) + 1}`;
    return { key: letter, letter, name: 'unknown comb', tint: null, stripe: false };
  }

  candidate(candidate: Candidate): OwnerLook {
    if (candidate.source !== null) return this.source(candidate.source);
    const comb = this.#combOf(candidate);
    return comb === null
      ? { key: 'u', letter: 'u', name: 'unknown comb', tint: null, stripe: false }
      : this.unknown(comb);
  }

  /** `A24`, `u1·17`. */
  tag(candidate: Candidate): string {
    const look = this.candidate(candidate);
    return candidate.source === null
      ? `${look.letter}\u00b7${candidate.harmonic}`
      : `${look.letter}${candidate.harmonic}`;
  }

  #combOf(candidate: Candidate): Comb | null {
    let best: Comb | null = null;
    let bestMiss = Infinity;
    for (const comb of this.unknownCombs) {
      const miss = Math.abs(comb.fundamentalHz * candidate.harmonic - candidate.predictedHz);
      if (miss < bestMiss) [best, bestMiss] = [comb, miss];
    }
    return best;
  }
}

export const CAUSE_WORDS: Readonly<Record<LineExplanation['cause'], string>> = {
  source: 'known source',
  ambiguous: 'ambiguous',
  shared: 'shared',
  'unknown-comb': 'unknown comb',
  beat: 'beat',
  sideband: 'sideband',
  ambient: 'from outside',
  instrument: 'from the kit',
  unexplained: 'unexplained',
};

/** The tag of a spur as its label and list say it. */
export function tagOf(explanation: LineExplanation, names: SourceNames): string {
  const [first, second] = explanation.candidates;
  if (explanation.cause === 'ambient') return 'outside';
  if (explanation.cause === 'instrument') return 'kit';
  if (explanation.cause === 'unexplained' || first === undefined) return 'nobody';
  if (second === undefined || explanation.cause === 'source' || explanation.cause === 'unknown-comb')
    return names.tag(first);
  const joint = { ambiguous: '|', shared: '+', beat: '\u2212', sideband: '\u00b1' } as Readonly<Record<string, string>>;
  const more = explanation.cause === 'ambiguous' && explanation.candidates.length > 2 ? '\u2026' : '';
  return names.tag(first) + (joint[explanation.cause] ?? '|') + names.tag(second) + more;
}
