import type { ReadingHints } from '../../model/reading-hints.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import type { ColumnHeader } from './columns.ts';
import type { FoundTables } from './find-tables.ts';

/** What the header says of the columns, corrected by what the user says of them. */
export function asStated(header: readonly ColumnHeader[], hints: ReadingHints): ColumnHeader[] {
  const { frequencyColumn, levelColumns, frequencyFactor, unit, axisIs } = hints;
  const levelUnit = unit === undefined ? null : parseLevelUnit(unit);
  return header.map((column, c) => {
    let corrected = column;
    if (frequencyColumn !== undefined && c === frequencyColumn - 1)
      corrected = {
        ...corrected,
        role: axisIs === 'time' ? 'time' : 'frequency',
        levelUnit: null,
        unitFromName: false,
      };
    else if (frequencyColumn !== undefined && (corrected.role === 'frequency' || corrected.role === 'time'))
      corrected = { ...corrected, role: 'other', frequencyFactor: null };
    if (levelColumns?.includes(c + 1) === true)
      corrected = { ...corrected, role: 'level', frequencyFactor: null, unitFromName: false };
    else if (levelColumns !== undefined && corrected.role !== 'frequency' && corrected.role !== 'time')
      corrected = { ...corrected, role: 'index' };
    if (frequencyFactor !== undefined && corrected.role === 'frequency') corrected = { ...corrected, frequencyFactor };
    if (levelUnit !== null && (corrected.role === 'level' || corrected.role === 'unknown'))
      corrected = { ...corrected, levelUnit, unitFromName: false, unreadUnit: null };
    return corrected;
  });
}

/** Rows of numbers above the line where the user says that the table begins are no rows. */
export function withoutHeaderLines(found: FoundTables, { headerLines }: ReadingHints): FoundTables {
  if (headerLines === undefined || headerLines <= 0) return found;
  const tables = found.tables.flatMap((table) => {
    const above = headerLines - table.firstLine;
    if (above <= 0) return [table];
    if (above >= table.rows) return [];
    const columns = table.columns.map((column) => column.subarray(above));
    return [{ ...table, columns, rows: table.rows - above, firstLine: headerLines }];
  });
  return { ...found, tables, oddRows: found.oddRows.filter(({ line }) => line > headerLines) };
}
