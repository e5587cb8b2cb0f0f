import type { Band } from '../../model/band.ts';
import type { BandLine } from './band-lines.ts';
import type { Cell } from './channel-grid.ts';
import { cellsTouched } from './channel-grid.ts';
import { reachInChannels } from './channel-response.ts';
import type { HiddenInCell } from './what-could-hide.ts';

/**
 * What one capture says of one cell of a band, worst first.
 *
 * spoiled: a line certainly exceeds what is allowed; doubtful: it may, within its doubt; masked: something that is not the build's,
 * or a stronger line's skirt, hides the cell; insensitive: the noise does; uncovered: no points; clean: none of these.
 */
export const CELL_STATES = ['spoiled', 'doubtful', 'masked', 'insensitive', 'uncovered', 'clean'] as const;
export type CellState = (typeof CELL_STATES)[number];

export interface CellView {
  readonly state: CellState;
  /** Lines of the build that exceed, or may exceed, what is allowed here. */
  readonly lines: readonly BandLine[];
  /** True where by the best estimate nothing exceeds, though the doubt may. */
  readonly isCleanAtBest: boolean;
}

/**
 * The state of every cell in one capture.
 *
 * A line counts in each cell whose channel it is felt in: from `½` of a channel with sharp edges (on the edge it spoils two) to as far
 * as leakage carries its excess. Its frequency's doubt makes the cells that it may lie in doubtful.
 */
export function cellStates(
  band: Band,
  cells: readonly Cell[],
  lines: readonly BandLine[],
  hidden: readonly (readonly HiddenInCell[])[],
): CellView[] {
  const spoiled = new Uint8Array(cells.length);
  const doubtful = new Uint8Array(cells.length);
  const likely = new Uint8Array(cells.length);
  const masked = new Uint8Array(cells.length);
  const felt: BandLine[][] = cells.map(() => []);
  for (const line of lines) {
    if (line.over.high <= 0 || line.isAccepted) continue;
    const possible = touched(band, cells, line, line.over.high, line.doubtHz);
    if (possible === null) continue;
    if (!line.isOfBuild) {
      mark(masked, possible);
      continue;
    }
    mark(doubtful, possible);
    mark(likely, touched(band, cells, line, line.over.best, 0));
    mark(spoiled, touched(band, cells, line, line.over.low, -line.doubtHz));
    for (let i = possible[0]; i <= possible[1]; i++) felt[i]!.push(line);
  }
  return cells.map((_, i) => {
    const here = hidden.map((ofImage) => ofImage[i]!);
    const loudest = here.reduce((worst, one) => (one.overDb > worst.overDb ? one : worst));
    const state: CellState =
      spoiled[i] === 1
        ? 'spoiled'
        : doubtful[i] === 1
          ? 'doubtful'
          : masked[i] === 1
            ? 'masked'
            : here.some(({ uncoveredWhy }) => uncoveredWhy !== null)
              ? 'uncovered'
              : loudest.overDb > 0
                ? loudest.isUnderLine
                  ? 'masked'
                  : 'insensitive'
                : 'clean';
    // what a skirt could hide is not thought to be there, though nothing shows that it is not
    const underSkirt = state === 'masked' && masked[i] === 0;
    const isCleanAtBest = state === 'clean' || underSkirt || (state === 'doubtful' && likely[i] === 0);
    return { state, lines: felt[i]!, isCleanAtBest };
  });
}

function mark(flags: Uint8Array, range: readonly [number, number] | null): void {
  if (range !== null) flags.fill(1, range[0], range[1] + 1);
}

/** First and last cell in which a line that exceeds by so much is felt; `doubtHz` widens (or, negative, narrows) where it may lie. */
function touched(
  band: Band,
  cells: readonly Cell[],
  line: BandLine,
  overDb: number,
  doubtHz: number,
): readonly [number, number] | null {
  const reach = reachInChannels(band.channelResponse ?? 'sharp', overDb);
  if (reach === 0) return null;
  // half a channel is the channel itself; cellsTouched takes care of edges
  const extra = (reach - 0.5) * cells[0]!.widthHz + line.halfWidthHz + doubtHz;
  if (extra >= 0) return cellsTouched(cells, line.inBandHz - extra, line.inBandHz + extra);
  // narrowed to nothing: certain only where the whole doubt lies in one cell
  const range = cellsTouched(cells, line.inBandHz + extra, line.inBandHz - extra);
  return range !== null && range[0] === range[1] ? range : null;
}
