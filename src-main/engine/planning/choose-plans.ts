import type { SearchState } from './search-state.ts';
import type { Findings } from './search-plans.ts';

/** Alternatives are shown down to this much more lost weight than the best with as many changes. A choice of this tool. */
const NEARLY_AS_GOOD = 1.1;
const MOST_ALTERNATIVES = 6;

/**
 * The plans worth showing: for each number of changes the best, where more changes lose less; then plans nearly as good that set at
 * least half of their changed sources otherwise. Today itself is none of them.
 */
export function choosePlans(
  findings: Findings,
  changeable: number,
  changedOf: (state: SearchState) => number[],
): SearchState[] {
  const front: SearchState[] = [];
  let least = findings.of(0)[0]?.weight ?? Infinity;
  for (let changes = 1; changes <= changeable; changes++) {
    const [best] = findings.of(changes);
    if (best === undefined || best.weight >= least - 1e-9) continue;
    front.push(best);
    least = best.weight;
  }
  const others: SearchState[] = [];
  for (const best of [...front].reverse()) {
    const changes = changedOf(best).length;
    for (const state of findings.of(changes)) {
      if (others.length >= MOST_ALTERNATIVES) break;
      const isGood = state.weight <= NEARLY_AS_GOOD * best.weight + 1e-9;
      if (isGood && [...front, ...others].every((shown) => isOther(state, shown, changedOf(state)))) others.push(state);
    }
  }
  return [...front, ...others].sort((a, b) => changedOf(a).length - changedOf(b).length || a.weight - b.weight);
}

function isOther(state: SearchState, shown: SearchState, changed: readonly number[]): boolean {
  const differing = changed.filter((place) => state.options[place]!.frequencyHz !== shown.options[place]!.frequencyHz);
  return differing.length * 2 >= Math.max(1, changed.length);
}
