import type { OnSegments } from './averaged-periodogram.ts';

/** Rows and columns of a waterfall at most: what a screen can show. */
export interface WaterfallSize {
  readonly rows: number;
  readonly columns: number;
}

/** Mean squares (before scaling: Σ|X|²/K) by row and column; a column holds the largest of its bins, so no line is lost. */
export interface WaterfallRows {
  readonly rows: number;
  /** Transform bins of each column in its own order: from `firstBin[c]` on, `binsPerColumn` of them at most. */
  readonly columns: number;
  readonly binsPerColumn: number;
  readonly power: Float32Array;
  /** First segment of each row. */
  readonly firstSegment: Float64Array;
}

/**
 * Gathers a stream of periodograms into rows, each the mean of as many segments as share the whole evenly. Memory is rows × columns.
 *
 * @param segments how many will come
 */
export function gatherRows(
  segments: number,
  transformPoints: number,
  isComplex: boolean,
  size: WaterfallSize,
): { readonly onSegments: OnSegments; readonly rows: () => WaterfallRows } {
  const bins = isComplex ? transformPoints : transformPoints / 2;
  const binsPerColumn = Math.max(1, Math.ceil(bins / size.columns));
  const columns = Math.ceil(bins / binsPerColumn);
  const perRow = Math.max(1, segments / size.rows);
  const most = Math.ceil(segments / perRow) + 1;
  const power = new Float32Array(most * columns);
  const firstSegment = new Float64Array(most);
  const sum = new Float64Array(transformPoints);
  let [row, done, inRow] = [0, 0, 0];

  const flush = (): void => {
    if (inRow === 0 || row >= most) return;
    const shift = isComplex ? transformPoints / 2 : 0;
    for (let c = 0; c < columns; c++) {
      let largest = 0;
      for (let b = c * binsPerColumn; b < Math.min(bins, (c + 1) * binsPerColumn); b++)
        largest = Math.max(largest, sum[(b + shift) % transformPoints]!);
      power[row * columns + c] = largest / inRow;
    }
    firstSegment[row] = done - inRow;
    row++;
    inRow = 0;
    sum.fill(0);
  };
  return {
    onSegments(own, count) {
      for (let k = 0; k < sum.length; k++) sum[k]! += own[k]!;
      done += count;
      inRow += count;
      if (done >= Math.round((row + 1) * perRow)) flush();
    },
    rows() {
      flush();
      return {
        rows: row,
        columns,
        binsPerColumn,
        power: power.slice(0, row * columns),
        firstSegment: firstSegment.slice(0, row),
      };
    },
  };
}
