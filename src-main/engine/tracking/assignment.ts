/** A possible pair of a row and a column and what it is worth to make it. */
export interface AssignmentEdge {
  readonly row: number;
  readonly column: number;
  /** Gain over leaving both alone; pairs with no gain are never made. At most one edge joins a row and a column. */
  readonly gain: number;
}

/**
 * Best one-to-one assignment on a sparse graph: the set of pairs with the largest total gain, exact.
 *
 * Returns the column of each row, −1 where it stays alone. Rows are added one at a time; each addition takes the best path that
 * hands columns on from row to row and ends in a free column or in a row left alone, which keeps the assignment the best one for
 * the rows so far (successive shortest paths, as in Ahuja, Magnanti & Orlin 1993, chapter 9; from memory). Paths are found by
 * label correcting, as gains are negative costs; the current assignment is the best, so there is no negative cycle.
 * Cost: for each row, the edges of the connected part around it a few times over.
 */
export function bestAssignment(rows: number, columns: number, edges: readonly AssignmentEdge[]): Int32Array {
  const { firstEdge, columnOfEdge, gainOfEdge } = rowsOfEdges(rows, edges);
  const columnOfRow = new Int32Array(rows).fill(-1);
  const rowOfColumn = new Int32Array(columns).fill(-1);
  const gainOfRow = new Float64Array(rows); // gain of the pair that the row is in
  const bestToRow = new Float64Array(rows).fill(-Infinity);
  const bestToColumn = new Float64Array(columns).fill(-Infinity);
  const edgeToColumn = new Int32Array(columns).fill(-1);
  const giverOfColumn = new Int32Array(columns).fill(-1);

  for (let start = 0; start < rows; start++) {
    const touchedRows = [start];
    const touchedColumns: number[] = [];
    bestToRow[start] = 0;
    let best = 0; // total change if `start` stays alone
    let endColumn = -1;
    let endRow = -1;
    const queue = [start];
    for (let head = 0; head < queue.length; head++) {
      const row = queue[head]!;
      const soFar = bestToRow[row]!;
      for (let e = firstEdge[row]!; e < firstEdge[row + 1]!; e++) {
        const column = columnOfEdge[e]!;
        const total = soFar + gainOfEdge[e]!;
        if (total <= bestToColumn[column]! + 1e-12) continue;
        if (bestToColumn[column] === -Infinity) touchedColumns.push(column);
        bestToColumn[column] = total;
        edgeToColumn[column] = e;
        giverOfColumn[column] = row;
        const owner = rowOfColumn[column]!;
        if (owner < 0) {
          if (total > best + 1e-12) {
            best = total;
            endColumn = column;
            endRow = -1;
          }
          continue;
        }
        const afterLosing = total - gainOfRow[owner]!;
        if (afterLosing <= bestToRow[owner]! + 1e-12) continue;
        if (bestToRow[owner] === -Infinity) touchedRows.push(owner);
        bestToRow[owner] = afterLosing;
        queue.push(owner);
        if (afterLosing > best + 1e-12) {
          best = afterLosing;
          endRow = owner;
          endColumn = -1;
        }
      }
    }
    let column = endColumn;
    if (endRow >= 0) {
      column = columnOfRow[endRow]!;
      columnOfRow[endRow] = -1;
    }
    while (column >= 0) {
      const giver = giverOfColumn[column]!;
      const handedOn = columnOfRow[giver]!;
      columnOfRow[giver] = column;
      rowOfColumn[column] = giver;
      gainOfRow[giver] = gainOfEdge[edgeToColumn[column]!]!;
      column = handedOn;
    }
    for (const row of touchedRows) bestToRow[row] = -Infinity;
    for (const touched of touchedColumns) bestToColumn[touched] = -Infinity;
  }
  return columnOfRow;
}

/** Edges with a gain, sorted by row (stable), as columns. */
function rowsOfEdges(rows: number, edges: readonly AssignmentEdge[]) {
  const useful = edges.filter((edge) => edge.gain > 0);
  const firstEdge = new Int32Array(rows + 1);
  for (const { row } of useful) firstEdge[row + 1]!++;
  for (let i = 0; i < rows; i++) firstEdge[i + 1]! += firstEdge[i]!;
  const columnOfEdge = new Int32Array(useful.length);
  const gainOfEdge = new Float64Array(useful.length);
  const next = firstEdge.slice();
  for (const { row, column, gain } of useful) {
    const at = next[row]!++;
    columnOfEdge[at] = column;
    gainOfEdge[at] = gain;
  }
  return { firstEdge, columnOfEdge, gainOfEdge };
}
