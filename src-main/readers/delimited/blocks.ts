import type { Line } from './cells.ts';
import { directionOf } from './columns.ts';
import type { FoundTables, NumberTable } from './find-tables.ts';

/** One block of rows with the lines of text that stand between the block before (or the file's beginning) and it. */
export interface Block {
  readonly table: NumberTable;
  readonly above: readonly Line[];
}

export interface Blocks {
  readonly blocks: readonly Block[];
  /** Lines behind the last block. */
  readonly below: readonly Line[];
  /** Runs of numbers that are no block, to be told of: markers, lists, rows of settings. */
  readonly passedOver: readonly NumberTable[];
}

/** A run of numbers shorter than this share of the longest is a marker list or a row of settings, not a sweep. */
const LEAST_SHARE = 0.02;
const LEAST_ROWS = 6;

/** The runs of numbers that are sweeps: as many columns as the longest run has, and not much shorter. */
export function findBlocks(found: FoundTables, textOf: (from: number, to: number) => readonly Line[]): Blocks {
  const longest = found.tables.reduce((a, b) => (b.rows * b.columns.length > a.rows * a.columns.length ? b : a));
  const least = Math.min(longest.rows, Math.max(LEAST_ROWS, LEAST_SHARE * longest.rows));
  const isSweep = (table: NumberTable): boolean =>
    table.columns.length === longest.columns.length && table.rows >= least;
  const sweeps = found.tables.filter(isSweep);
  const blocks = sweeps.map((table, b) => ({
    table,
    above: textOf(b === 0 ? 0 : sweeps[b - 1]!.lastLine + 1, table.firstLine),
  }));
  const last = sweeps[sweeps.length - 1]!;
  return {
    blocks,
    below: textOf(last.lastLine + 1, found.lineCount),
    passedOver: found.tables.filter((table) => !isSweep(table)),
  };
}

/** Blocks that go on rising with nothing said between them are one table broken by blank lines or remarks. */
export function joinBlocks(
  blocks: readonly Block[],
  saysSomething: (lines: readonly Line[]) => boolean,
): readonly Block[] {
  if (blocks.length < 2) return blocks;
  const first = blocks[0]!.table;
  const axis = first.columns.findIndex((column) => directionOf(column) !== 0);
  if (axis < 0) return blocks;
  const direction = directionOf(first.columns[axis]!);
  const goesOn = blocks.every(({ table, above }, b) => {
    if (b === 0) return true;
    const before = blocks[b - 1]!.table.columns[axis]!;
    return direction * (table.columns[axis]![0]! - before[before.length - 1]!) > 0 && !saysSomething(above);
  });
  if (!goesOn) return blocks;
  const columns = first.columns.map((_, c) => {
    const whole = new Float64Array(blocks.reduce((n, { table }) => n + table.rows, 0));
    let at = 0;
    for (const { table } of blocks) {
      whole.set(table.columns[c]!, at);
      at += table.rows;
    }
    return whole;
  });
  const last = blocks[blocks.length - 1]!.table;
  return [
    {
      table: { columns, rows: columns[0]!.length, firstLine: first.firstLine, lastLine: last.lastLine },
      above: blocks[0]!.above,
    },
  ];
}

/**
 * Sweeps that follow each other without a blank line: where the axis begins again at its very first frequency, and every piece has
 * the same number of rows, each piece is a block. Anything else is returned as it is.
 */
export function splitSweeps(table: NumberTable, axis: number): readonly NumberTable[] {
  const column = table.columns[axis]!;
  const again = column.indexOf(column[0]!, 1);
  if (again < 2 || table.rows % again !== 0 || Number.isNaN(column[0]!)) return [table];
  for (let i = again; i < table.rows; i++) if (column[i] !== column[i - again]) return [table];
  return Array.from({ length: table.rows / again }, (_, p) => ({
    columns: table.columns.map((values) => values.slice(p * again, (p + 1) * again)),
    rows: again,
    firstLine: table.firstLine + p * again,
    lastLine: table.firstLine + (p + 1) * again - 1,
  }));
}
