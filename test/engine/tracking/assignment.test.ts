import { describe, expect, it } from 'vitest';
import { bestAssignment, type AssignmentEdge } from '../../../src-main/engine/tracking/assignment.ts';
import { seededRandom } from './seeded-random.ts';

/** Slow twin: tries every assignment, row by row. */
function bestGainByTrying(rows: number, edges: readonly AssignmentEdge[]): number {
  const taken = new Set<number>();
  const from = (row: number): number => {
    if (row === rows) return 0;
    let best = from(row + 1);
    for (const edge of edges) {
      if (edge.row !== row || taken.has(edge.column)) continue;
      taken.add(edge.column);
      best = Math.max(best, edge.gain + from(row + 1));
      taken.delete(edge.column);
    }
    return best;
  };
  return from(0);
}

function gainOf(columnOfRow: Int32Array, edges: readonly AssignmentEdge[]): number {
  let sum = 0;
  columnOfRow.forEach((column, row) => {
    if (column >= 0) sum += edges.find((edge) => edge.row === row && edge.column === column)!.gain;
  });
  return sum;
}

function randomEdges(random: () => number, rows: number, columns: number, share: number): AssignmentEdge[] {
  const edges: AssignmentEdge[] = [];
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++)
      if (random() < share) edges.push({ row, column, gain: Math.round(random() * 20) - 4 });
  return edges;
}

describe('bestAssignment', () => {
  it('hands a column on when that is better in total than first come, first served', () => {
    const edges = [
      { row: 0, column: 0, gain: 10 },
      { row: 0, column: 1, gain: 8 },
      { row: 1, column: 0, gain: 9 },
    ];
    expect([...bestAssignment(2, 2, edges)]).toEqual([1, 0]);
  });

  it('leaves an earlier row alone when a later one gains more from the only column', () => {
    const edges = [
      { row: 0, column: 0, gain: 3 },
      { row: 1, column: 0, gain: 5 },
    ];
    expect([...bestAssignment(2, 1, edges)]).toEqual([-1, 0]);
  });

  it('never makes a pair without gain, and takes no rows or no edges', () => {
    expect([...bestAssignment(1, 1, [{ row: 0, column: 0, gain: 0 }])]).toEqual([-1]);
    expect([...bestAssignment(0, 3, [])]).toEqual([]);
    expect([...bestAssignment(2, 0, [])]).toEqual([-1, -1]);
  });

  it('gains as much as trying every assignment, on 400 seeded graphs', () => {
    const random = seededRandom(11);
    for (let trial = 0; trial < 400; trial++) {
      const rows = 1 + Math.floor(random() * 7);
      const columns = 1 + Math.floor(random() * 7);
      const edges = randomEdges(random, rows, columns, 0.2 + 0.7 * random());
      const found = bestAssignment(rows, columns, edges);
      const used = [...found].filter((column) => column >= 0);
      expect(new Set(used).size, `trial ${trial}`).toBe(used.length);
      expect(gainOf(found, edges), `trial ${trial}: ${JSON.stringify(edges)}`).toBeCloseTo(
        bestGainByTrying(rows, edges),
        9,
      );
    }
  });

  it('gains the same whichever side is called rows', () => {
    const random = seededRandom(12);
    for (let trial = 0; trial < 50; trial++) {
      const edges = randomEdges(random, 40, 40, 0.1);
      const turned = edges.map(({ row, column, gain }) => ({ row: column, column: row, gain }));
      expect(gainOf(bestAssignment(40, 40, edges), edges)).toBeCloseTo(
        gainOf(bestAssignment(40, 40, turned), turned),
        9,
      );
    }
  });
});
