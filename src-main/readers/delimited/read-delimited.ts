import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import { NO_HINTS, type ReadingHints } from '../../model/reading-hints.ts';
import type { Trace } from '../../model/trace.ts';
import { chooseAxis, type CompanionAxis } from './axis.ts';
import { tracesOfBlock, withoutEmptyColumns } from './block-traces.ts';
import { findBlocks, joinBlocks, splitSweeps, type Block } from './blocks.ts';
import { LONGEST_LINE, withoutBlockHeader, type Line } from './cells.ts';
import { checkTrace } from './check-trace.ts';
import { checkBlockHeader, withoutCutOffRow } from './cut-off.ts';
import { findHeader, readHeader, type ColumnHeader } from './columns.ts';
import type { FoundTables, TextLine } from './find-tables.ts';
import { describeLayout } from './layout-words.ts';
import { readPreamble, type Preamble } from './preamble.ts';
import { noTable, refuseDamagedRow, refuseOddRows, refuseTwoKindsOfComma } from './refusals.ts';
import { readStatements } from './statements.ts';
import { decode, textBytes } from './text.ts';
import { readTimeTable, timeRecordWords } from './time-table.ts';
import { asStated, withoutHeaderLines } from './corrections.ts';
import { understand, type Understood } from './understand.ts';

/** Files beside a capture whose own has levels alone: the frequencies, and what a header file says of the unit. */
export interface Beside {
  readonly axis: CompanionAxis;
  readonly unit: LevelUnit | null;
}

/**
 * Reads a text table of frequency and level, finding out its layout by itself.
 *
 * 1. Text of the bytes: encoding, byte-order mark, NULs. 2. The delimiter and decimal sign under which most lines are numbers; where
 * cells hold units, separators or words, they are written anew first. 3. All runs of numeric rows; the long ones are blocks, each a
 * sweep, or one table where they go on rising. 4. What the lines above, between and below say. 5. Which column is the frequency: by
 * header, else the first that rises (or falls) throughout. 6. Checks; every contradiction and every unknown becomes a warning.
 *
 * @param file the name the user knows it by, for messages
 * @param beside frequencies from another file, for levels that have none
 * @throws InputError for anything that is no spectrum, with the line where that shows
 */
export function readDelimited(
  input: Uint8Array,
  file: string,
  beside: Beside | null = null,
  hints: ReadingHints = NO_HINTS,
): ReadCapture {
  const understood = understand(textBytes(input, file), file, hints);
  try {
    return readTables(understood, input.length, file, beside, hints);
  } catch (error) {
    // a text written upright has other lines than the file
    if (!understood.upright || !(error instanceof InputError)) throw error;
    throw new InputError({ ...error.problem, place: 'the lines that hold a trace each' });
  }
}

function readTables(
  { text, dialect, found: all, units, warnings: before, rewritten }: Understood,
  fileLength: number,
  file: string,
  beside: Beside | null,
  hints: ReadingHints,
): ReadCapture {
  const { found, warnings: cut } = withoutCutOffRow(text.bytes, withoutHeaderLines(all, hints));
  const warnings: string[] = [...before, ...cut];
  if (text.nulBytes > 0) warnings.push(`${text.nulBytes} NUL bytes were passed over.`);

  const lineOf = ({ line, start, end }: TextLine): Line => ({
    text: decode(text.bytes, start, Math.min(end, start + LONGEST_LINE), text.encoding),
    line: line + 1,
  });
  const textOf = (from: number, to: number): readonly Line[] =>
    found.texts.filter(({ line }) => line >= from && line < to).map(lineOf);
  if (found.tables.length === 0 || found.tables.every(({ rows }) => rows < 2))
    throw noTable(firstLine(found, lineOf), file);

  const { blocks: sweeps, below, passedOver } = findBlocks(found, textOf);
  warnings.push(
    ...refuseOddRows(
      found,
      sweeps.map(({ table }) => table),
      file,
    ),
  );
  for (const { above } of sweeps.slice(1)) refuseDamagedRow(above, dialect, file);
  warnings.push(...checkBlockHeader(sweeps[0]!.above[0], fileLength));

  const columns = sweeps[0]!.table.columns.length;
  const first = { ...sweeps[0]!, above: unglued(sweeps[0]!.above) };
  const top = findHeader(first.above, columns, dialect);
  const common = readStatements([...top.rest, ...below], dialect);
  const says = (lines: readonly Line[]): boolean =>
    findHeader(lines, columns, dialect).rows.length > 0 ||
    readStatements(lines, dialect).some(({ field }) => field !== 'date');
  const joined = joinBlocks([first, ...sweeps.slice(1)], says);
  warnings.push(...passedOverWords(passedOver, sweeps, found));

  const header = asStated(withUnits(readHeader(top.rows, columns), units), hints);
  refuseTwoKindsOfComma(first.table, header.filter(({ name }) => name !== '').length, dialect, file);
  const commonPreamble = preambleAsStated(readPreamble(common, [], [...top.rest, ...below]), hints);
  const nearest = first.above.slice(-4);
  const tables = joined.map(({ table }) => table);
  const layout = describeLayout(dialect, text, tables, header, beside?.axis.file ?? null, rewritten);
  const time =
    hints.axisIs === 'frequency'
      ? null
      : hints.axisIs === 'time' || hints.sampleRateHz !== undefined
        ? 'samples against time, as you state'
        : timeRecordWords(header, nearest, commonPreamble.saysSampleRate, common, joined[0]!.table);
  if (time !== null) {
    const { settings } = commonPreamble.settingsFor(0, 1, '');
    if (joined.length > 1) warnings.push(`Only the first of ${joined.length} tables was read as a time record.`);
    const context = { file, header, nearest, statements: common, takenAt: settings.takenAt, hints };
    return readTimeTable(joined[0]!.table, time, context, layout, warnings);
  }

  const traces: Trace[] = [];
  for (const [b, block] of joined.entries()) {
    const isFirst = b === 0;
    const own = isFirst ? { rows: top.rows, rest: [] } : findHeader(block.above, columns, dialect);
    const ownHeader =
      own.rows.length === 0 || isFirst ? header : asStated(withUnits(readHeader(own.rows, columns), units), hints);
    const ownLines = isFirst ? top.rest : own.rest;
    const preamble = isFirst
      ? commonPreamble
      : preambleAsStated(readPreamble(common, readStatements(own.rest, dialect), ownLines), hints);
    warnings.push(...preamble.warnings);
    const axisColumn = chooseAxis(withoutEmptyColumns(block.table.columns), ownHeader, preamble, beside !== null);
    const pieces = axisColumn === null ? [block.table] : splitSweeps(block.table, axisColumn);
    if (pieces.length > 1)
      warnings.push(
        `The frequencies begin again at line ${pieces[1]!.firstLine + 1}: ${pieces.length} sweeps, each a trace.`,
      );
    for (const [p, table] of pieces.entries()) {
      const number = joined.length > 1 ? b + 1 : pieces.length > 1 ? p + 1 : null;
      const blockName = number === null ? '' : `block ${number}`;
      const context = {
        file,
        header: ownHeader,
        preamble,
        companion: beside?.axis ?? null,
        unitBeside: beside?.unit ?? null,
        blockName,
      };
      const found = tracesOfBlock(table, axisColumn, context, warnings);
      traces.push(...found);
      for (const trace of found) warnings.push(...checkTrace(trace, preamble, [...ownLines, ...below]));
    }
  }
  return {
    layout,
    traces,
    warnings: [...new Set(warnings)],
  };
}

/** A preamble with the axis that the user states. */
function preambleAsStated(preamble: Preamble, { startHz, stepHz }: ReadingHints): Preamble {
  return startHz === undefined || stepHz === undefined ? preamble : { ...preamble, startHz, stepHz, stopHz: null };
}

function firstLine(found: FoundTables, lineOf: (line: TextLine) => Line): Line | null {
  return found.texts[0] === undefined ? null : lineOf(found.texts[0]);
}

/** The first line without the block header that may be glued to it. */
function unglued(lines: readonly Line[]): readonly Line[] {
  const [first, ...rest] = lines;
  if (first === undefined || first.line !== 1) return lines;
  return [{ ...first, text: withoutBlockHeader(first.text).text }, ...rest];
}

/** Short runs of numbers that no block holds. A single row above the first block is a statement, and no news. */
function passedOverWords(tables: FoundTables['tables'], sweeps: readonly Block[], found: FoundTables): string[] {
  const first = sweeps[0]!.table.firstLine;
  const told = tables.filter(
    (table) =>
      (table.rows > 1 || table.firstLine > first) && !found.oddRows.some(({ line }) => line === table.firstLine),
  );
  if (told.length === 0) return [];
  const rows = told.reduce((n, table) => n + table.rows, 0);
  return [`${rows} row(s) of numbers outside the table were passed over (first: line ${told[0]!.firstLine + 1}).`];
}

/** Column headers with the units that stood in the cells themselves. */
function withUnits(header: readonly ColumnHeader[], units: Understood['units']): ColumnHeader[] {
  return header.map((column, c) => {
    const unit = units[c] ?? null;
    if (unit === null) return column;
    if (unit === 'Hz')
      return { ...column, role: 'frequency', frequencyFactor: 1, levelUnit: null, unitFromName: false };
    return { ...column, role: 'level', frequencyFactor: null, levelUnit: unit, unitFromName: false };
  });
}
