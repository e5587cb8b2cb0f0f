import type { CompareSettings } from '../../model/compare-settings.ts';
import type { Source } from '../../model/source.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { lineLimitTable } from './line-limit.ts';
import { mergeSide, type Side } from './side.ts';
import type { SideTrace } from './side-trace.ts';
import { largestMove } from './source-drift.ts';

/** Lines kept at once, of all sides together: some hundred bytes each. The side that was made first is dropped first. */
const KEPT_LINES = 200_000;

/**
 * What comparisons of one build have in common, worked out once: the merged side of a state stands in two comparisons at least when
 * states are followed, and tables of limits depend on averages and confidence alone.
 *
 * Only saves work: a comparison with a memory gives the same as one without.
 */
export class SideMemory {
  readonly #sources: readonly Source[];
  readonly #settings: CompareSettings;
  readonly #moves = new Map<string | null, number>();
  readonly #tables = new Map<string, (overNoiseDb: number) => number>();
  /** By the first capture of the side, in the order they were made. */
  readonly #sides = new Map<TriagedTrace, { side: Side; stableMove: number }[]>();
  #lines = 0;

  constructor(sources: readonly Source[], settings: CompareSettings) {
    this.#sources = sources;
    this.#settings = settings;
  }

  /** Whether it was made for these: else it must not be used. */
  isFor(sources: readonly Source[], settings: CompareSettings): boolean {
    return this.#sources === sources && this.#settings === settings;
  }

  /** `largestMove` of a source, or of a line nobody owns (null). */
  readonly largestMoveOf = (name: string | null): number => {
    let move = this.#moves.get(name);
    if (move === undefined) this.#moves.set(name, (move = largestMove(name, this.#sources, this.#settings)));
    return move;
  };

  /** `lineLimitTable`, tabled once for each number of averages and confidence. */
  readonly limitTable = (averages: number, confidence: number): ((overNoiseDb: number) => number) => {
    const key = `${averages}/${confidence}`;
    let table = this.#tables.get(key);
    if (table === undefined) this.#tables.set(key, (table = lineLimitTable(averages, confidence)));
    return table;
  };

  /** `mergeSide` of captures on one scale; the same captures on the same scale are merged once. */
  sideOf(traces: readonly SideTrace[], stableMove: number): Side {
    const first = traces[0]!.triaged;
    const known = this.#sides.get(first) ?? [];
    const found = known.find((one) => one.stableMove === stableMove && isSame(one.side.traces, traces));
    if (found !== undefined) return found.side;
    const side = mergeSide(traces, this.largestMoveOf, { stableMove });
    known.push({ side, stableMove });
    this.#sides.set(first, known);
    this.#lines += side.lines.count;
    for (const [oldest, sides] of this.#sides) {
      if (this.#lines <= KEPT_LINES || oldest === first) break;
      for (const one of sides) this.#lines -= one.side.lines.count;
      this.#sides.delete(oldest);
    }
    return side;
  }
}

function isSame(left: readonly SideTrace[], right: readonly SideTrace[]): boolean {
  return (
    left.length === right.length &&
    left.every(({ triaged, offsetDb }, i) => triaged === right[i]!.triaged && offsetDb === right[i]!.offsetDb)
  );
}
