import type { ByteSource } from '../model/byte-source.ts';
import { InputError } from '../model/input-problem.ts';
import type { ReadingHints } from '../model/reading-hints.ts';
import { sourceOf } from './binary/read-at.ts';
import type { ColumnHeader } from './delimited/columns.ts';
import { findHeader, readHeader } from './delimited/columns.ts';
import { asStated, withoutHeaderLines } from './delimited/corrections.ts';
import { chooseAxis } from './delimited/axis.ts';
import { withoutEmptyColumns } from './delimited/block-traces.ts';
import { findBlocks } from './delimited/blocks.ts';
import { readPreamble } from './delimited/preamble.ts';
import { readStatements } from './delimited/statements.ts';
import { decode, endOfText, lineEndOf, textBytes } from './delimited/text.ts';
import { understand } from './delimited/understand.ts';
import { FORMAT_NAMES, recogniseFormat } from './formats.ts';

/** What a file begins with, and how the reader parts it: for a user who looks over its shoulder. */
export interface Preview {
  /** What kind of file it is, in words. */
  readonly format: string;
  /** The first lines of a text, none for other files. Lines count from 1. */
  readonly lines: readonly { readonly line: number; readonly text: string; readonly isRow: boolean }[];
  readonly separator: NonNullable<ReadingHints['separator']> | null;
  readonly decimalMark: '.' | ',' | null;
  /** The line of the first row of numbers. */
  readonly firstRow: number | null;
  readonly columns: readonly {
    readonly name: string;
    readonly role: ColumnHeader['role'];
    readonly unit: string | null;
    /** Its first numbers; null where a cell has none. */
    readonly first: readonly (number | null)[];
  }[];
}

const LINES_SHOWN = 40;
const CHARACTERS_SHOWN = 160;
const NUMBERS_SHOWN = 3;
/** The beginning tells how a text is parted; a preview need not read the rest. */
const LOOKED_AT = 1 << 20;

/** The first lines of a file and the reader's guess at its columns, with the user's corrections where there are any. Never throws. */
export function previewOf(input: Uint8Array | ByteSource, file: string, hints: ReadingHints): Preview {
  const source = sourceOf(input);
  const format = source.length === 0 ? 'text' : recogniseFormat(source, file);
  const words = FORMAT_NAMES[format].words;
  const nothing: Preview = {
    format: words,
    lines: [],
    separator: null,
    decimalMark: null,
    firstRow: null,
    columns: [],
  };
  if (format !== 'text' && format !== 'sweep-rows' && format !== 'touchstone') return nothing;
  try {
    const begin = source.read(0, Math.min(source.length, LOOKED_AT)).slice();
    const text = textBytes(begin, file);
    const first = firstLines(text.bytes, text.encoding);
    const shown = { ...nothing, lines: first.map((line, l) => ({ line: l + 1, text: line, isRow: false })) };
    return format === 'text' ? { ...shown, ...partedAs(begin, file, hints, shown.lines) } : shown;
  } catch (error) {
    if (error instanceof InputError) return nothing;
    throw error;
  }
}

function partedAs(begin: Uint8Array, file: string, hints: ReadingHints, lines: Preview['lines']): Partial<Preview> {
  try {
    const { text, dialect, found: all, upright } = understand(textBytes(begin, file), file, hints);
    const found = withoutHeaderLines(all, hints);
    if (found.tables.length === 0) return {};
    const { blocks } = findBlocks(found, (from, to) =>
      found.texts
        .filter(({ line }) => line >= from && line < to)
        .map(({ line, start, end }) => ({ line: line + 1, text: decode(text.bytes, start, end, text.encoding) })),
    );
    const [{ table, above }] = blocks as [(typeof blocks)[number]];
    const { rows, rest } = findHeader(above, table.columns.length, dialect);
    const header = asStated(readHeader(rows, table.columns.length), hints);
    const preamble = readPreamble(readStatements(rest, dialect), [], rest);
    const axis = chooseAxis(withoutEmptyColumns(table.columns), header, preamble, false);
    return {
      separator: String.fromCharCode(dialect.delimiter) as NonNullable<ReadingHints['separator']>,
      decimalMark: dialect.decimalComma ? ',' : '.',
      firstRow: upright ? null : table.firstLine + 1,
      lines: upright
        ? lines
        : lines.map((line) => ({ ...line, isRow: line.line > table.firstLine && line.line <= table.lastLine + 1 })),
      columns: table.columns.map((column, c) => ({
        name: header[c]!.name,
        role: c === axis && header[c]!.role === 'unknown' ? 'frequency' : header[c]!.role,
        unit: unitWords(header[c]!),
        first: [...column.subarray(0, NUMBERS_SHOWN)].map((value) => (Number.isFinite(value) ? value : null)),
      })),
    };
  } catch (error) {
    if (error instanceof InputError) return {};
    throw error;
  }
}

const FREQUENCY_UNITS: Readonly<Record<number, string>> = { 1: 'Hz', 1e3: 'kHz', 1e6: 'MHz', 1e9: 'GHz' };

function unitWords({ frequencyFactor, timeFactor, levelUnit }: ColumnHeader): string | null {
  if (frequencyFactor !== null) return FREQUENCY_UNITS[frequencyFactor] ?? null;
  return timeFactor !== null ? `${timeFactor} s` : (levelUnit?.name ?? null);
}

function firstLines(bytes: Uint8Array, encoding: Parameters<typeof decode>[3]): string[] {
  const stop = lineEndOf(bytes);
  const lines: string[] = [];
  for (let start = 0; start < bytes.length && lines.length < LINES_SHOWN;) {
    const at = bytes.indexOf(stop, start);
    const next = at < 0 ? bytes.length : at;
    const end = Math.min(endOfText(bytes, start, next), start + CHARACTERS_SHOWN);
    lines.push(decode(bytes, start, end, encoding));
    start = next + 1;
  }
  return lines;
}
