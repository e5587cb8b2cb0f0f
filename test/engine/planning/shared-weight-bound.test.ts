import { expect, test } from 'vitest';
import { seededRandom } from '../../../src-main/engine/numeric/random.ts';
import { channelGrid } from '../../../src-main/engine/planning/channel-grid.ts';
import { PlanProblem } from '../../../src-main/engine/planning/plan-problem.ts';
import { Effort } from '../../../src-main/engine/planning/search-state.ts';
import { sharedWeightBound } from '../../../src-main/engine/planning/shared-weight-bound.ts';
import { hasScipy, NO_SCIPY, python } from '../../scipy.ts';
import { aBand, aSource, settings } from './plan-lists.ts';

const BANDS = [aBand(2e6, 5e6, 10e3), aBand(6e6, 8e6, 10e3, { name: 'b', weight: 2 })];
const GRID = channelGrid(BANDS);
const NOTHING = new Uint32Array(GRID.words);
const boundless = () => new Effort(1e3, () => false);

/** Options of some sources, as even steps about frequencies drawn at random. */
function drawn(seed: number, count: number, each: number, ppm: number) {
  const random = seededRandom(seed);
  const lowHz = Array.from({ length: count }, () => 150e3 + random() * 500e3);
  const sources = lowHz.map((hz, i) => aSource(`S${i}`, hz, { tolerancePpm: ppm }));
  const problem = new PlanProblem(sources, GRID, settings());
  return lowHz.map((hz, place) =>
    Array.from({ length: each }, (_, j) =>
      problem.option(place, { kind: 'free', frequencyHz: hz * (1 + (0.2 * j) / each) }, problem.today),
    ),
  );
}

const channelsOf = (bits: Uint32Array): number[] =>
  Array.from({ length: bits.length * 32 }, (_, c) => c).filter((c) => ((bits[c >>> 5]! >>> (c & 31)) & 1) === 1);

/** min Σ w y, y_c ≥ Σ_o x_vo [c ∈ S_vo], Σ_o x_vo = 1, by HiGHS. */
const LINEAR_PROGRAMME = `
from scipy.optimize import linprog
from scipy.sparse import coo_matrix
import numpy as np
w = np.array(data['weights']); sets = data['sets']
X = sum(len(s) for s in sets); C = len(w)
rows, cols, vals, row = [], [], [], {}
er, ec = [], []
at = 0
for v, options in enumerate(sets):
    for option in options:
        er.append(v); ec.append(at)
        for c in option:
            if (v, c) not in row:
                row[(v, c)] = len(row)
                rows.append(row[(v, c)]); cols.append(X + c); vals.append(-1.0)
            rows.append(row[(v, c)]); cols.append(at); vals.append(1.0)
        at += 1
A = coo_matrix((vals, (rows, cols)), shape=(len(row), X + C)).tocsr()
E = coo_matrix((np.ones(X), (er, ec)), shape=(len(sets), X + C)).tocsr()
r = linprog(np.r_[np.zeros(X), w], A_ub=A, b_ub=np.zeros(len(row)), A_eq=E, b_eq=np.ones(len(sets)), bounds=(0, None), method='highs')
print(json.dumps(r.fun))
`;

test.skipIf(!hasScipy)(
  `the bound stays under the linear programme of scipy’s HiGHS and comes within a tenth of it${hasScipy ? '' : `: ${NO_SCIPY}`}`,
  () => {
    for (const [seed, ppm] of [
      [1, 0],
      [2, 0],
      [3, 500],
      [4, 5000],
    ] as const) {
      const optionsOf = drawn(seed, 5, 25, ppm);
      const weights = Array.from({ length: GRID.words * 32 }, (_, c) => GRID.weightOfWord[c >>> 5]!);
      const sets = optionsOf.map((options) => options.map(({ bits }) => channelsOf(bits)));
      const least = python<number>({ weights, sets }, LINEAR_PROGRAMME);
      const { bound } = sharedWeightBound(optionsOf, NOTHING, GRID, 200, boundless());
      expect(bound, `seed ${seed}, ±${ppm} ppm`).toBeLessThanOrEqual(least * (1 + 1e-9));
      expect(bound, `seed ${seed}, ±${ppm} ppm`).toBeGreaterThan(0.9 * least);
    }
  },
  60_000,
);

test('the prices of a channel add up to its weight at most, and what each option costs at them is said', () => {
  const optionsOf = drawn(5, 4, 20, 300);
  const taken = NOTHING.slice();
  taken[1] = 0xffff0000;
  const { bound, prices, costs } = sharedWeightBound(optionsOf, taken, GRID, 60, boundless());
  for (let c = 0; c < GRID.words * 32; c++) {
    const weight = ((taken[c >>> 5]! >>> (c & 31)) & 1) === 1 ? 0 : GRID.weightOfWord[c >>> 5]!;
    expect(prices.reduce((sum, column) => sum + column[c]!, 0)).toBeLessThanOrEqual(weight * (1 + 1e-12));
  }
  for (const [v, options] of optionsOf.entries())
    for (const [o, { bits }] of options.entries())
      expect(costs[v]![o]).toBeCloseTo(
        channelsOf(bits).reduce((sum, c) => sum + prices[v]![c]!, 0),
        9,
      );
  expect(bound).toBeCloseTo(
    costs.reduce((sum, of) => sum + Math.min(...of), 0),
    5,
  );
});

test('prices found before are a start from which fewer rounds reach as far', () => {
  const optionsOf = drawn(6, 6, 30, 0);
  const { prices, bound } = sharedWeightBound(optionsOf, NOTHING, GRID, 100, boundless());
  const again = sharedWeightBound(optionsOf, NOTHING, GRID, 1, boundless(), prices);
  const anew = sharedWeightBound(optionsOf, NOTHING, GRID, 1, boundless());
  expect(again.bound).toBeCloseTo(bound, 6);
  expect(anew.bound).toBeLessThan(bound);
});

test('one source pays for its cheapest option in full; without effort or where all is taken the bound is nothing', () => {
  const [options] = drawn(7, 1, 12, 0);
  const cheapest = Math.min(...options!.map(({ weight }) => weight));
  expect(sharedWeightBound([options!], NOTHING, GRID, 1, boundless()).bound).toBeCloseTo(cheapest, 6);
  expect(sharedWeightBound([options!], NOTHING, GRID, 9, new Effort(0, () => false)).bound).toBe(0);
  const all = NOTHING.map(() => 0xffffffff);
  expect(sharedWeightBound([options!], all, GRID, 9, boundless()).bound).toBe(0);
});
