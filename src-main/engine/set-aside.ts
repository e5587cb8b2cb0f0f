import type { LineExplanation } from '../model/attribution.ts';
import type { Comb, SourceNotSeen } from '../model/comb.ts';
import type { Spur } from '../model/spur.ts';
import type { Trace } from '../model/trace.ts';

interface Named {
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  readonly warnings: readonly string[];
}

const NO_ORIGIN =
  'Frequencies count from a centre that nobody stated, so no multiple of a source can be told: state the centre of the record.';

/**
 * Names lines with those set aside that cannot be lines of the build, or cannot be told.
 *
 * What stands where the receiver shows itself (trace.instrument) gets the cause `instrument` and takes no part in the search: a
 * mirror image must support no comb. On an axis without a known origin nothing is named.
 *
 * @param name the attribution of the other spurs, parallel to what it is given
 */
export function nameOutside(
  { instrument = [], axis }: Pick<Trace, 'instrument' | 'axis'>,
  spurs: readonly Spur[],
  name: (spurs: readonly Spur[]) => Named,
): Named {
  const own = spurs.map(({ frequencyHz }) =>
    instrument.find(({ lowHz, highHz }) => lowHz <= frequencyHz && frequencyHz <= highHz),
  );
  const rest = axis === 'offset' ? [] : spurs.filter((_, i) => own[i] === undefined);
  const named = name(rest);
  const explanations = named.explanations[Symbol.iterator]();
  return {
    ...named,
    notSeen: axis === 'offset' ? named.notSeen.map(({ source }) => ({ source, reason: NO_ORIGIN })) : named.notSeen,
    explanations: own.map((line): LineExplanation => {
      if (line !== undefined) return { cause: 'instrument', candidates: [], why: line.why };
      if (axis === 'offset') return { cause: 'unexplained', candidates: [], why: NO_ORIGIN };
      return explanations.next().value!;
    }),
  };
}
