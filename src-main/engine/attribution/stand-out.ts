import type { LineTable } from './line-table.ts';
import { log10BinomialTail } from './tail.ts';

/**
 * How far every second (third, …) line of a comb must stand over the ordinary lines on both sides, in the middle of all, to be
 * believed another source's. The harmonics of one rectangular wave cannot do that for every second line: of the neighbours of
 * n one is at least |cos πD| times as strong as n (|sin πD(n−1)| + |sin πD(n+1)| ≥ 2 |sin πDn · cos πD|). A choice of this tool.
 */
const STANDS_OUT_DB = 3;
/** Half of those lines may be silent (a duty cycle of one half does that to the source itself); then the rest must stand out more. */
const STANDS_OUT_ALONE_DB = 6;
/** Ordinary lines are looked for within so many harmonics. */
const REACH = 4;

export interface StandOut {
  /** Beyond what one wave can do. */
  readonly surely: boolean;
  /** How far they stand out in the middle, dB; negative where they do not. */
  readonly middleDb: number;
  /** log10 of the chance of a sign test: of so many such lines, so many over their neighbours. */
  readonly log10Chance: number;
}

/**
 * Do the lines at multiples of `multiple` stand out over the comb's ordinary lines beside them? Even and odd multiples are judged
 * apart, and both must. Null where no line is seen at one of them.
 *
 * @param comb its matches among all lines
 * @param others further multiples that are no ordinary lines
 */
export function linesStandOut(
  lines: LineTable,
  comb: { readonly firstHarmonic: number; readonly matches: Int32Array },
  multiple: number,
  others: readonly number[] = [],
): StandOut | null {
  const special = [multiple, ...others];
  const levelOf = (j: number): number => {
    const line = comb.matches[j] ?? -1;
    return line >= 0 ? lines.levelDb[line]! : -Infinity;
  };
  const besideOf = (j: number, step: number): number => {
    for (let d = 1; d <= REACH; d++) {
      const n = comb.firstHarmonic + j + d * step;
      if (special.every((m) => n % m !== 0)) return levelOf(j + d * step);
    }
    return -Infinity;
  };
  const over: readonly [number[], number[]] = [[], []];
  for (let j = 0; j < comb.matches.length; j++) {
    const n = comb.firstHarmonic + j;
    if (n % multiple !== 0) continue;
    const beside = Math.max(besideOf(j, -1), besideOf(j, 1));
    const own = levelOf(j);
    if (own > -Infinity || beside > -Infinity) over[(n / multiple) % 2 === 1 ? 0 : 1].push(own - beside);
  }
  const [odd, even] = [judge(over[0]), judge(over[1])];
  const alone = even.middleDb < -STANDS_OUT_DB && odd.middleDb >= STANDS_OUT_ALONE_DB;
  const middleDb = alone ? odd.middleDb : Math.min(odd.middleDb, even.middleDb);
  if (Number.isNaN(middleDb)) return null;
  const standing = alone ? odd.over : odd.over + even.over;
  const asked = alone ? odd.asked : odd.asked + even.asked;
  const log10Chance = log10BinomialTail(standing, asked, 0.5);
  return { surely: middleDb >= STANDS_OUT_DB, middleDb, log10Chance };
}

function judge(differences: number[]): { middleDb: number; over: number; asked: number } {
  return {
    middleDb: differences.sort((a, b) => a - b)[differences.length >> 1] ?? NaN,
    over: differences.filter((d) => d > 0).length,
    asked: differences.length,
  };
}
