import type { LineExplanation } from '../../model/attribution.ts';
import type { LineFamily } from '../../model/line-family.ts';

/** The best family that one search found, with the words for it once all searches are counted in. */
export interface Found {
  /** Of this kind of search alone. */
  readonly chance: number;
  /** @param counted the chance with the number of kinds counted in */
  readonly family: (counted: number) => LineFamily;
  readonly lines: readonly { readonly line: number; readonly explain: (counted: number) => LineExplanation }[];
}
