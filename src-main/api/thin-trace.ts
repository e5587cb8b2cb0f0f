import type { Floor } from '../model/floor.ts';
import type { TraceColumns } from './contract.ts';
import type { MinMaxPyramid } from './min-max-pyramid.ts';
import { lowerBound } from '../engine/numeric/lower-bound.ts';

/** A trace ready to be drawn at any zoom. */
export interface DrawnTrace {
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly pyramid: MinMaxPyramid;
}

/**
 * The part of a trace between two frequencies in at most `columns` columns, each with its smallest and largest level.
 *
 * One point beyond either end is included where there is one, so that a line drawn through the points reaches the edges.
 * Floor and threshold are taken at each column's first point: they change slowly. Without a floor both are empty.
 */
export function thinTrace(
  { frequencyHz, levelDb, pyramid }: DrawnTrace,
  floor: Pick<Floor, 'meanDb' | 'thresholdDb'> | null,
  view: {
    readonly lowHz: number;
    readonly highHz: number;
    readonly columns: number;
    readonly spacing?: ColumnSpacing | undefined;
  },
): Omit<TraceColumns, 'captureId' | 'traceIndex'> {
  const first = Math.max(0, lowerBound(frequencyHz, view.lowHz) - 1);
  const end = Math.min(frequencyHz.length, firstAbove(frequencyHz, view.highHz) + 1);
  const points = Math.max(0, end - first);
  const thinned = points > view.columns;
  const edges = thinned ? columnEdges(frequencyHz, first, end, view) : null;
  const columns = edges === null ? points : edges.length - 1;

  const out = {
    frequencyHz: new Float64Array(columns),
    minimumDb: new Float64Array(columns),
    maximumDb: new Float64Array(columns),
    floorDb: new Float64Array(floor === null ? 0 : columns),
    thresholdDb: new Float64Array(floor === null ? 0 : columns),
    thinned,
  };
  for (let column = 0; column < columns; column++) {
    const from = edges === null ? first + column : edges[column]!;
    const to = edges === null ? from + 1 : edges[column + 1]!;
    out.frequencyHz[column] = frequencyHz[from]!;
    if (thinned) {
      const { least, most } = pyramid.extremes(from, to);
      out.minimumDb[column] = least;
      out.maximumDb[column] = most;
    } else {
      out.minimumDb[column] = out.maximumDb[column] = levelDb[from]!;
    }
    if (floor !== null) {
      out.floorDb[column] = floor.meanDb[from]!;
      out.thresholdDb[column] = floor.thresholdDb[from]!;
    }
  }
  return out;
}

/** Columns of as many points each, or of the same ratio of frequencies each. */
export type ColumnSpacing = 'linear' | 'logarithmic';

/** The point at which each column begins, and the end of the last. Every point is in one column; on a logarithmic axis those without a point are left out. */
function columnEdges(
  frequencyHz: Float64Array,
  first: number,
  end: number,
  { columns, highHz, lowHz, spacing }: Parameters<typeof thinTrace>[2],
): number[] {
  const points = end - first;
  if (spacing !== 'logarithmic')
    return Array.from({ length: columns + 1 }, (_, column) => first + Math.floor((column * points) / columns));
  const fromHz = Math.max(lowHz, highHz * SMALLEST_SHARE);
  const edges = [first];
  for (let column = 1; column < columns; column++) {
    const edge = lowerBound(frequencyHz, fromHz * (highHz / fromHz) ** (column / columns));
    if (edge > edges.at(-1)! && edge < end) edges.push(edge);
  }
  edges.push(end);
  return edges;
}

/** A logarithmic axis begins at the latest this share under its end: zero has no logarithm. */
export const SMALLEST_SHARE = 1e-5;

function firstAbove(ascending: Float64Array, limit: number): number {
  const index = lowerBound(ascending, limit);
  return ascending[index] === limit ? index + 1 : index;
}
