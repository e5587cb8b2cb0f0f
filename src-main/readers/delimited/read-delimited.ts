import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Trace } from '../../model/trace.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import { checkTrace } from './check-trace.ts';
import { directionOf, isCounting, readHeader, type ColumnHeader } from './columns.ts';
import { detectDialect, findTables, type NumberTable } from './find-tables.ts';
import { readEntries, readPreamble, splitCells, type Preamble } from './preamble.ts';
import { BLANK, type Dialect } from './rows.ts';
import { decode, splitLines, textBytes, type LineTable, type TextBytes } from './text.ts';

/** A frequency axis from a companion file, for level columns that have none of their own. */
export interface CompanionAxis {
  readonly file: string;
  readonly frequencyHz: Float64Array;
  readonly unit: LevelUnit | null;
}

/** Runs of numbers shorter than this share of the longest are preamble or markers, not blocks of data. */
const SMALL_TABLE_SHARE = 0.02;
/** Preamble lines read at the most: what stands further up belongs to something else. */
const MOST_PREAMBLE_LINES = 2000;

/**
 * Reads a text table of frequency and level, finding out its layout by itself.
 *
 * 1. Text of the bytes. 2. The delimiter under which most lines are numbers. 3. All runs of numeric rows; short ones before
 * the longest are preamble. 4. What the preamble and the header rows say. 5. Which column is the frequency: by header, else
 * the first that rises (or falls) throughout. 6. Checks; every contradiction becomes a warning, every unknown is said.
 *
 * @throws InputError for anything that is no spectrum, with the line where that shows
 */
export function readDelimited(input: Uint8Array, file: string, companion: CompanionAxis | null = null): ReadCapture {
  const text = textBytes(input, file);
  const lines = splitLines(text.bytes);
  const warnings: string[] = [];
  const dialect = detectDialect(text.bytes, lines);
  if (dialect === null) throw noTable(text, lines, file);
  const found = findTables(text.bytes, lines, dialect);
  const longest = found.tables.reduce((a, b) => (b.rows > a.rows ? b : a));
  if (longest.rows < 2) throw noTable(text, lines, file);
  const blocks = found.tables.filter(
    (table) =>
      table.columns.length === longest.columns.length && table.rows >= Math.max(2, SMALL_TABLE_SHARE * longest.rows),
  );
  const first = blocks[0]!;

  const lineText = (l: number): string => decode(text.bytes, lines.starts[l]!, lines.ends[l]!, text.encoding);
  const above: { text: string; line: number }[] = [];
  for (let l = Math.max(0, first.firstLine - MOST_PREAMBLE_LINES); l < first.firstLine; l++)
    above.push({ text: lineText(l), line: l + 1 });
  const { headerRows, preambleLines } = parseAbove(above, first, dialect);
  const entries = readEntries(preambleLines, dialect);
  const preamble = readPreamble(entries);
  const header = readHeader(headerRows, first.columns.length);

  refuseTimeRecord(header, headerRows, first, file);
  warnings.push(...oddRowWarnings(found.oddRows, blocks, lines.count));
  if (text.nulBytes > 0) warnings.push(`${text.nulBytes} NUL bytes were passed over.`);

  const joined = joinBlocks(blocks);
  const traces: Trace[] = [];
  for (const [b, block] of joined.entries())
    traces.push(
      ...tracesOfBlock(block, joined.length > 1 ? b : null, header, preamble, preambleLines, companion, file, warnings),
    );
  for (const trace of traces) warnings.push(...checkTrace(trace, preamble, preambleLines));

  return { layout: describeLayout(dialect, text, joined, header, companion), traces, warnings: [...new Set(warnings)] };
}

function noTable(text: TextBytes, lines: LineTable, file: string): InputError {
  let l = 0;
  while (l < lines.count - 1 && lines.starts[l] === lines.ends[l]) l++;
  const shown =
    lines.count === 0
      ? ''
      : decode(text.bytes, lines.starts[l]!, Math.min(lines.ends[l]!, lines.starts[l]! + 60), text.encoding);
  return new InputError({
    file,
    place: `line ${l + 1}`,
    found: shown === '' ? 'no table of numbers' : `no table of numbers; the text begins “${shown}”`,
    expected: 'at least two rows of numbers: a frequency and a level, separated by comma, semicolon, tab or blanks',
    wayOut: 'Export the trace data (not a picture or a set-up file) as text.',
  });
}

/** Parts the lines above a table into header rows (nearest, with a cell per column) and preamble. */
function parseAbove(
  above: readonly { text: string; line: number }[],
  table: NumberTable,
  dialect: Dialect,
): { headerRows: string[][]; preambleLines: { text: string; line: number }[] } {
  const headerRows: string[][] = [];
  let stop = above.length;
  const columns = table.columns.length;
  for (let i = above.length - 1; i >= 0 && headerRows.length < 3; i--) {
    const plain = above[i]!.text.replace(/^[#!%;]+\s*/, '');
    if (plain.trim() === '') {
      if (headerRows.length === 0 || headerRows.length < 2) continue;
      break;
    }
    const cells = headerCells(plain, columns, dialect);
    if (cells === null) break;
    headerRows.unshift(cells);
    stop = i;
  }
  return { headerRows, preambleLines: above.slice(0, stop) };
}

/** Cells of a line that can be a header of `columns` columns, or null. A statement (key: value) is none. */
function headerCells(text: string, columns: number, dialect: Dialect): string[] | null {
  let cells = splitCells(text, dialect);
  while (cells.length > columns && cells[cells.length - 1] === '') cells = cells.slice(0, -1);
  if (dialect.delimiter === BLANK && columns > 1) {
    // names of several words: split at a closing bracket, or at two blanks or a tab
    const byBracket = text.trim().split(/(?<=[)\]])\s+(?=\S)/);
    const byGap = text.trim().split(/\s{2,}|\t/);
    cells = byBracket.length === columns ? byBracket : byGap.length === columns ? byGap : cells;
  }
  if (cells.length < columns || cells.length > columns + 3) return null;
  if (cells.filter((cell) => cell !== '').length === 0) return null;
  const wordy = cells.filter((cell) => /[a-zµμ]/i.test(cell)).length;
  if (wordy === 0) return null;
  // a two-column line that states a setting is preamble, unless it names a frequency or a unit
  const first = cells[0]!.toLowerCase();
  if (columns === 2 && !/freq|hz|^f$|frequenz|time|zeit|second|sequence|index|^x$|^\(|^\[|^$/.test(first)) return null;
  if (columns === 2 && /^(start|stop|cent|span|rbw|vbw|x axis|y axis|number|freq(uency)? offset)/.test(first))
    return null;
  if (columns === 1 && cells.length > 1) return null;
  // a number, with or without a unit, is a value and no name
  if (columns <= 2 && /^[+-]?[\d.,]+(e[+-]?\d+)?\s*[a-zµμ%]{0,4}$/i.test(cells[1] ?? '')) return null;
  if (columns > 2 && /^(trace (type|math|name|count|detector)|detector|normalize|y axis|x axis)/.test(first))
    return null;
  if (columns === 1 && /[:=]/.test(text)) return null;
  return cells;
}

function refuseTimeRecord(
  header: readonly ColumnHeader[],
  headerRows: readonly (readonly string[])[],
  table: NumberTable,
  file: string,
): void {
  const frequency = header.some((column) => column.role === 'frequency');
  const time = header.find((column) => column.role === 'time');
  const sequence = headerRows.some((row) => row.some((cell) => /^(increment|sequence)$/i.test(cell)));
  if (time !== undefined && !frequency)
    throw timeRecord(
      file,
      table.firstLine,
      `a time record (column “${time.name || 'without a name'}” is in seconds or a part of them)`,
    );
  if (sequence) throw timeRecord(file, table.firstLine, 'a time record (a sequence of samples with an increment)');
}

function timeRecord(file: string, firstLine: number, found: string): InputError {
  return new InputError({
    file,
    place: `line ${firstLine + 1}`,
    found,
    expected: 'a spectrum: level against frequency',
    wayOut: 'Make a spectrum of it with the instrument and export that; this version reads no time records.',
  });
}

function oddRowWarnings(
  odd: readonly { line: number; cells: number; expected: number }[],
  blocks: readonly NumberTable[],
  count: number,
): string[] {
  const first = blocks[0]!.firstLine;
  const inside = odd.filter((row) => row.line > first);
  if (inside.length === 0) return [];
  const last = inside[inside.length - 1]!;
  if (inside.length === 1 && last.line >= count - 2)
    return [
      `Line ${last.line + 1} has ${last.cells} of ${last.expected} cells: the file looks cut off there, and that line is left out.`,
    ];
  return [
    `${inside.length} row(s) have another number of cells than the table (first: line ${inside[0]!.line + 1}); they are left out.`,
  ];
}

/** Blocks that go on rising are one table broken by remarks; blocks that start again are sweeps of their own. */
function joinBlocks(blocks: readonly NumberTable[]): NumberTable[] {
  if (blocks.length < 2) return [...blocks];
  const axis = blocks[0]!.columns.findIndex((column) => directionOf(column) !== 0);
  if (axis < 0) return [...blocks];
  const goesOn = blocks.every((block, b) => {
    if (b === 0) return true;
    const before = blocks[b - 1]!.columns[axis]!;
    return block.columns[axis]![0]! > before[before.length - 1]!;
  });
  if (!goesOn) return [...blocks];
  const columns = blocks[0]!.columns.map((_, c) => {
    const parts = blocks.map((block) => block.columns[c]!);
    const whole = new Float64Array(parts.reduce((n, part) => n + part.length, 0));
    let at = 0;
    for (const part of parts) {
      whole.set(part, at);
      at += part.length;
    }
    return whole;
  });
  return [
    {
      columns,
      rows: columns[0]!.length,
      firstLine: blocks[0]!.firstLine,
      lastLine: blocks[blocks.length - 1]!.lastLine,
    },
  ];
}

function tracesOfBlock(
  block: NumberTable,
  blockIndex: number | null,
  header: readonly ColumnHeader[],
  preamble: Preamble,
  preambleLines: readonly { text: string; line: number }[],
  companion: CompanionAxis | null,
  file: string,
  warnings: string[],
): Trace[] {
  const columns = dropEmptyColumns(block.columns);
  const axis = chooseAxis(columns, header, preamble);
  let frequencyHz: Float64Array;
  if (axis === null) {
    frequencyHz = axisFromStatements(block, preamble, companion, file, warnings);
  } else {
    const said =
      (header[axis]?.frequencyFactor ?? null) !== null ||
      preamble.startHz !== null ||
      preamble.frequencyFactor !== null;
    if (!said && columns[axis]!.some((f) => f < 0))
      throw timeRecord(file, block.firstLine, 'a rising column that begins below zero, with no word of frequency');
    const factor = header[axis]?.frequencyFactor ?? preamble.frequencyFactor;
    if (factor === null) warnings.push('The frequency column has no unit; it is taken to be in Hz.');
    frequencyHz = columns[axis]!.map((f) => f * (factor ?? 1));
    for (let i = 0; i < frequencyHz.length; i++)
      if (Number.isNaN(frequencyHz[i]!))
        throw new InputError({
          file,
          place: `line ${block.firstLine + i + 1}, column ${axis + 1}`,
          found: 'no frequency',
          expected: 'a number',
          wayOut: 'Fill in or delete that row.',
        });
  }
  const levelColumns = columns.flatMap((column, c) => {
    if (c === axis || column === null) return [];
    const role = header[c]?.role;
    if (role === 'index' || role === 'frequency' || (axis !== null && c < axis && isCounting(column))) return [];
    if (axis === null && columns.length > 1 && isCounting(column)) return [];
    return [c];
  });
  if (levelColumns.length === 0)
    throw new InputError({
      file,
      place: `line ${block.firstLine + 1}`,
      found: 'a frequency column alone',
      expected: 'at least one column of levels beside it',
      wayOut: 'Export frequency and level together.',
    });
  const descending = axis !== null && directionOf(frequencyHz) === -1;
  if (descending) {
    frequencyHz = frequencyHz.slice().reverse();
    warnings.push('The frequencies run downwards in the file; they were turned round.');
  }
  checkAscending(frequencyHz, descending, block, axis, file);
  let blanked = 0;
  const traces = levelColumns.map((c, t): Trace => {
    const raw = descending ? columns[c]!.slice().reverse() : columns[c]!.slice();
    const blank = blankSentinels(raw);
    if (blank.all) blanked++;
    else if (blank.count > 0)
      warnings.push(
        `${blank.count} point(s) of column ${c + 1} hold ${blank.value}, a mark for “no value”; they count as blank.`,
      );
    const { unit, warning } = unitOf(c, raw, header, preamble, companion, preambleLines);
    if (warning !== null && !blank.all) warnings.push(warning);
    const name = preamble.nameOf(t, levelColumns.length) ?? header[c]?.name ?? '';
    const label = blockIndex === null ? name : `${name === '' ? '' : `${name}, `}block ${blockIndex + 1}`;
    return { label, frequencyHz, level: raw, unit, settings: preamble.settingsFor(t, levelColumns.length) };
  });
  const live = traces.filter((trace) => trace.level.some((v) => !Number.isNaN(v)));
  if (live.length === 0)
    throw new InputError({
      file,
      place: `line ${block.firstLine + 1}`,
      found: 'no level in any column',
      expected: 'at least one trace that is not blank',
      wayOut: 'Export a trace that is switched on.',
    });
  if (blanked > 0) warnings.push(`${blanked} of ${traces.length} traces are blank and were left out.`);
  return live;
}

/** Columns that are empty in every row (trailing delimiters) are none. Their place is kept so that headers still fit. */
function dropEmptyColumns(columns: readonly Float64Array[]): (Float64Array | null)[] {
  return columns.map((column) => (column.every((v) => Number.isNaN(v)) ? null : column));
}

function chooseAxis(
  columns: readonly (Float64Array | null)[],
  header: readonly ColumnHeader[],
  preamble: Preamble,
): number | null {
  const byHeader = columns.findIndex((column, c) => column !== null && header[c]?.role === 'frequency');
  if (byHeader >= 0) return byHeader;
  if (columns.filter((column) => column !== null).length < 2) return null;
  const moving = columns.flatMap((column, c) => (column !== null && directionOf(column) !== 0 ? [c] : []));
  const notCounting = moving.filter((c) => !isCounting(columns[c]!));
  if (notCounting.length > 0) return notCounting[0]!;
  // an index alone: the axis is in the statements, where there are any
  if (moving.length > 0) return preamble.startHz !== null && preamble.stopHz !== null ? null : moving[0]!;
  // nothing rises throughout: the first column is the axis, and the check will name the row that breaks it
  return preamble.startHz !== null && preamble.stopHz !== null ? null : 0;
}

function axisFromStatements(
  block: NumberTable,
  preamble: Preamble,
  companion: CompanionAxis | null,
  file: string,
  warnings: string[],
): Float64Array {
  if (companion !== null) {
    if (companion.frequencyHz.length !== block.rows)
      throw new InputError({
        file,
        place: `line ${block.lastLine + 1}`,
        found: `${block.rows} levels`,
        expected: `${companion.frequencyHz.length}, as many as ${companion.file} has frequencies`,
        wayOut: 'Check that both files are of one measurement.',
      });
    warnings.push(`The frequencies are those of ${companion.file} beside it.`);
    return companion.frequencyHz;
  }
  const { startHz, stopHz, stepHz, points } = preamble;
  if (startHz === null || (stopHz === null && stepHz === null))
    throw new InputError({
      file,
      place: `line ${block.firstLine + 1}`,
      found: 'a column of levels alone',
      expected: 'a frequency beside each level, or start and stop frequency above the table',
      wayOut:
        'Export with the frequency column, add lines “start,…” and “stop,…”, or put the file of frequencies beside it under the same name with the ending .x.',
    });
  if (points !== null && points !== block.rows)
    warnings.push(
      `The preamble says ${points} points, the table has ${block.rows}; the start and stop frequencies are laid over the ${block.rows}.`,
    );
  const step = stopHz !== null ? (stopHz - startHz) / Math.max(1, block.rows - 1) : stepHz!;
  warnings.push(
    `The frequencies are computed from the stated start and ${stopHz !== null ? 'stop' : 'step'}; the table has none.`,
  );
  return Float64Array.from({ length: block.rows }, (_, i) => startHz + i * step);
}

function checkAscending(
  frequencyHz: Float64Array,
  descending: boolean,
  block: NumberTable,
  axis: number | null,
  file: string,
): void {
  for (let i = 1; i < frequencyHz.length; i++) {
    if (frequencyHz[i]! > frequencyHz[i - 1]!) continue;
    const row = descending ? frequencyHz.length - 1 - i : i;
    const same = frequencyHz[i] === frequencyHz[i - 1];
    throw new InputError({
      file,
      place: `line ${block.firstLine + row + 1}${axis === null ? '' : `, column ${axis + 1}`}`,
      found: same
        ? `the frequency ${frequencyHz[i]!} Hz a second time`
        : `${frequencyHz[i]!} Hz after ${frequencyHz[i - 1]!} Hz`,
      expected: 'frequencies that rise (or fall) throughout',
      wayOut: same
        ? 'If these are several sweeps, part them with a blank line; if the frequencies are rounded, export more digits.'
        : 'Check that the first rising column really is the frequency, and that rows were not mixed.',
    });
  }
}

/** Values far below any level, many times the same, are marks for “no value”. They become NaN in place. */
function blankSentinels(level: Float64Array): { count: number; all: boolean; value: number } {
  const counts = new Map<number, number>();
  for (const v of level) if (v <= -800 || v === -999 || Math.abs(v) >= 1e30) counts.set(v, (counts.get(v) ?? 0) + 1);
  let count = 0;
  let value = NaN;
  for (let i = 0; i < level.length; i++)
    if (counts.has(level[i]!)) {
      value = level[i]!;
      level[i] = NaN;
      count++;
    }
  return { count, all: count === level.length, value };
}

function unitOf(
  c: number,
  level: Float64Array,
  header: readonly ColumnHeader[],
  preamble: Preamble,
  companion: CompanionAxis | null,
  preambleLines: readonly { text: string }[],
): { unit: LevelUnit; warning: string | null } {
  const own = header[c]?.levelUnit ?? null;
  const stated = own !== null && !header[c]!.unitFromName ? own : (preamble.levelUnits[0] ?? inLine(preambleLines));
  if (stated !== null) {
    if (stated.scale === 'decibel' && looksLinear(level))
      return {
        unit: { name: 'unknown', scale: 'power', perHz: stated.perHz },
        warning: `The file says ${stated.name}, but all numbers are positive and very small with little between them: they are taken as linear power of unknown unit.`,
      };
    return { unit: stated, warning: null };
  }
  if (own !== null)
    return {
      unit: own,
      warning: `The unit ${own.name} is taken from the column's name “${header[c]!.name}”; the file states none.`,
    };
  if (companion !== null && companion.unit !== null) return { unit: companion.unit, warning: null };
  const positive = level.every((v) => Number.isNaN(v) || v >= 0);
  const peak = level.reduce((a, v) => (v > a ? v : a), -Infinity);
  // decibel traces cross zero or lie below it; a linear one is positive over decades of small numbers
  if (positive && (peak < 1 || spansDecades(level)))
    return {
      unit: { name: 'unknown', scale: 'amplitude', perHz: false },
      warning: 'The file states no level unit. All levels are positive and small: they are taken as linear amplitudes.',
    };
  return {
    unit: { name: 'unknown', scale: 'decibel', perHz: false },
    warning:
      'The file states no level unit; the numbers look like decibels and are taken so. Levels cannot be compared with other captures or limits.',
  };
}

/** A unit in a line such as `Trace Data:(Unit:dBm)` that is no statement of a key. */
function inLine(lines: readonly { text: string }[]): LevelUnit | null {
  for (const { text } of [...lines].reverse()) {
    const match = /\(\s*unit\s*[:=]\s*([^)]+)\)/i.exec(text);
    if (match === null) continue;
    const unit = parseLevelUnit(match[1]!);
    if (unit !== null) return unit;
  }
  return null;
}

function looksLinear(level: Float64Array): boolean {
  let low = Infinity;
  let high = -Infinity;
  for (const v of level) {
    if (Number.isNaN(v)) continue;
    if (v <= 0) return false;
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  return high < 0.1;
}

function spansDecades(level: Float64Array): boolean {
  const sorted = level.filter((v) => v > 0).sort();
  if (sorted.length < 10) return false;
  return sorted[sorted.length - 1]! / sorted[sorted.length >> 1]! > 100 && sorted[sorted.length >> 1]! < 10;
}

function describeLayout(
  dialect: Dialect,
  text: TextBytes,
  blocks: readonly NumberTable[],
  header: readonly ColumnHeader[],
  companion: CompanionAxis | null,
): string {
  const names: Readonly<Record<number, string>> = { 44: 'comma', 59: 'semicolon', 9: 'tab', 32: 'blank', 124: 'bar' };
  const columns = blocks[0]!.columns.length;
  const parts = [
    `${text.encoding} text, ${columns === 1 ? 'one column' : `${columns} columns separated by ${names[dialect.delimiter]!}`}`,
    dialect.decimalComma ? 'decimal comma' : 'decimal point',
    blocks.length > 1 ? `${blocks.length} blocks of rows` : `rows from line ${blocks[0]!.firstLine + 1}`,
    header.some((column) => column.name !== '')
      ? `columns named ${header.map((column) => column.name || '–').join(', ')}`
      : 'no column names',
  ];
  if (companion !== null) parts.push(`frequencies from ${companion.file}`);
  return parts.join('; ');
}
