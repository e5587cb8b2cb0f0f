import type { Source } from '../../model/source.ts';
import { tolerancePpmOf } from '../../model/source-defaults.ts';
import { lockChain } from '../../model/source-tree.ts';

export interface RunningRange {
  readonly name: string;
  readonly source: Source;
  readonly lowHz: number;
  readonly highHz: number;
  readonly maxHarmonic: number;
}

/** Where the fundamentals of the sources that run may lie, locks followed to their root, the axis error included. */
export function runningRanges(
  sources: readonly Source[],
  sourcesOff: readonly string[],
  axisPpm: number,
): RunningRange[] {
  return sources
    .filter(({ designator }) => !sourcesOff.includes(designator))
    .map((source) => {
      const chain = lockChain(source, sources);
      const root = chain.at(-1)!;
      const nominalHz =
        root === source
          ? source.nominalHz
          : chain.slice(0, -1).reduce((hz, { lock }) => (hz * lock!.numerator) / lock!.denominator, root.nominalHz);
      const share = 1e-6 * (tolerancePpmOf(root).tolerancePpm + axisPpm);
      return {
        name: source.designator,
        source,
        lowHz: nominalHz * (1 - share),
        highHz: nominalHz * (1 + share),
        maxHarmonic: source.maxHarmonic ?? Infinity,
      };
    });
}
