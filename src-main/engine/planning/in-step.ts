import type { InStepPair } from '../../model/plan.ts';
import type { Source } from '../../model/source.ts';
import type { Assignment, PlanProblem } from './plan-problem.ts';

/** 20 log₁₀ 2: two equal lines in step. */
const RISE_DB = 20 * Math.log10(2);

/**
 * Pairs on one clock whose lines fall together inside the bands.
 *
 * With f1 : f2 = p : q in lowest terms lines fall together at the multiples of p f2 = q f1. They may stand in step, which is 6 dB for equal
 * lines, and the phase is fixed by the clock's dividers: it can be chosen. Delaying the second by half a period of the common
 * frequency sets every odd common line against the other; even ones stay in step. How far they cancel rests on equal amplitudes
 * (from memory; see check values on interleaving).
 */
export function inStepPairs(problem: PlanProblem, assignment: Assignment): InStepPair[] {
  const found: InStepPair[] = [];
  const resolved = assignment.map((_, place) => ratioOf(problem, place, assignment));
  for (let a = 0; a < resolved.length; a++)
    for (let b = a + 1; b < resolved.length; b++) {
      const [first, second] = [resolved[a]!, resolved[b]!];
      if (first.root !== second.root) continue;
      // f1 : f2 = n1 d2 : n2 d1
      const [n1, n2] = [first.numerator * second.denominator, second.numerator * first.denominator];
      const common = greatestCommonDivisor(n1, n2);
      const [p, q] = [n1 / common, n2 / common];
      const commonHz = p * second.frequencyHz;
      // the j-th common line is harmonic j q of the first and j p of the second
      const most = Math.min(highest(problem.sources[a]!) / q, highest(problem.sources[b]!) / p);
      const lines = linesInBands(problem, commonHz, Math.floor(most));
      if (lines.count === 0) continue;
      found.push({
        first: problem.sources[a]!.designator,
        second: problem.sources[b]!.designator,
        commonHz,
        linesInBands: lines.count,
        riseDb: RISE_DB,
        delayS: 1 / (2 * commonHz),
        lowestLineHz: lines.lowestHz,
      });
    }
  return found.sort((x, y) => y.linesInBands - x.linesInBands);
}

function ratioOf(problem: PlanProblem, place: number, assignment: Assignment) {
  let [at, numerator, denominator] = [place, 1, 1];
  for (let choice = assignment[at]!; choice.kind === 'locked'; choice = assignment[at]!) {
    numerator *= choice.numerator;
    denominator *= choice.denominator;
    at = choice.to;
  }
  return { ...problem.resolve(place, assignment), numerator, denominator };
}

const highest = ({ maxHarmonic }: Source): number => maxHarmonic ?? Infinity;

function linesInBands({ grid }: PlanProblem, commonHz: number, most: number) {
  let count = 0;
  let lowestHz = Infinity;
  for (const { band } of grid.bands) {
    const first = Math.max(1, Math.ceil(band.lowHz / commonHz - 1e-9));
    const last = Math.min(Math.floor(band.highHz / commonHz + 1e-9), most);
    if (last < first) continue;
    count += last - first + 1;
    lowestHz = Math.min(lowestHz, first * commonHz);
  }
  return { count, lowestHz };
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
