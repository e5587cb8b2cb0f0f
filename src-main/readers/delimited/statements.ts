import { frequencyFactor, parseLevelUnit, timeFactor } from '../../units/parse-unit.ts';
import {
  isNumber,
  numberWithUnit,
  plainText,
  splitAt,
  withoutCommentMark,
  withoutEmptyTail,
  type Line,
} from './cells.ts';
import { fieldOf, plainKey, type Field } from './fields.ts';
import { traceModeOf } from './setting-words.ts';
import { BLANK, type Dialect } from './rows.ts';

/** One statement of a preamble: what it is about, and its values as written. */
export interface Statement {
  readonly field: Field;
  /** The key as written, for messages. */
  readonly key: string;
  /** The unit in the key, as in `RBW (kHz)`, '' where there is none. */
  readonly keyUnit: string;
  readonly values: readonly string[];
  /** The trace the key names (`Trace 2 Detector`), counted from 0; null where it names none. */
  readonly trace: number | null;
  readonly line: number;
}

/** More cells than this on a line are data, not statements. */
const MOST_CELLS = 200;

/**
 * The statements on some lines, in any of the usual forms: `key,value[,value…]`, `key: value`, `key = value`, `key value unit`,
 * several side by side on a line, units in brackets behind the key, lines of an object `"key": value,`.
 * Lines that state nothing anyone knows give nothing.
 */
export function readStatements(lines: readonly Line[], dialect: Dialect): Statement[] {
  return lines.flatMap(({ text, line }) => statementsOf(text, line, dialect));
}

function statementsOf(text: string, line: number, dialect: Dialect): Statement[] {
  const bare = withoutCommentMark(plainText(text).replace(/[^\S\t]+/g, ' '));
  if (bare === '' || /^\[[^\]]*\]$/.test(bare)) return [];
  const cells = statementCells(bare, dialect);
  const statements: Statement[] = [];
  let i = 0;
  while (i < cells.length) {
    const cell = cells[i++]!;
    const pair = inlinePair(cell);
    const key = knownKey(pair === null ? cell : pair.key);
    if (key === null) {
      if (pair === null) {
        const run = runTogether(cell);
        if (run !== null) statements.push({ ...run.key, values: [run.value], line });
      }
      continue;
    }
    const values = pair === null ? [] : [pair.value];
    while (i < cells.length && inlinePair(cells[i]!) === null && runTogether(cells[i]!) === null) {
      // where a later cell is a key with a value behind it, another statement begins
      if (values.length > 0 && knownKey(cells[i]!) !== null && i + 1 < cells.length && cells[i + 1] !== '') break;
      values.push(cells[i++]!);
    }
    const kept = withoutEmptyTail(values);
    // `Trace 1,Trace 2` names columns, `Trace 1: max hold` states a mode
    if (key.field === 'traceMode' && traceModeOf(kept[0] ?? '') === null) continue;
    // a date is digits: `Time,Level` names columns
    if (key.field === 'date' && !kept.some((value) => /\d[-/.:]\d|\d{4}/.test(value))) continue;
    if (kept.length > 0) statements.push({ ...key, values: kept, line });
  }
  return statements;
}

/** The parts of a line: by the table's delimiter, else by the first of semicolon, tab, bar, comma; then pairs side by side by blanks. */
function statementCells(text: string, dialect: Dialect): string[] {
  const own = dialect.delimiter === BLANK ? '' : String.fromCharCode(dialect.delimiter);
  const delimiter =
    own !== '' && text.includes(own)
      ? own
      : ([';', '\t', '|'].find((mark) => text.includes(mark)) ?? (/,(?!\d)|[a-z"],/i.test(text) ? ',' : ''));
  const parts = delimiter === '' ? [text] : splitAt(text, delimiter).slice(0, MOST_CELLS);
  const cells = parts.flatMap(splitPairs);
  return withoutEmptyTail(cells.map((cell) => cell.trim()));
}

/** `RBW=10 kHz Video BW=30 kHz AVG=16`: before each further sign stands a key, the longest one known of up to four words. */
function splitPairs(part: string): string[] {
  const signs = [
    ...part.replace(/\([^)]*\)/g, (inside) => ' '.repeat(inside.length)).matchAll(/=|(?<!\d):|:(?!\d\d)/g),
  ];
  if (signs.length < 2 || signs.length > 30) return [part];
  const pieces: string[] = [];
  let from = 0;
  for (const { index } of signs.slice(1)) {
    const words = part.slice(from, index).trimEnd().split(' ');
    let taken = 0;
    for (let n = 1; n <= Math.min(4, words.length - 1); n++)
      if (knownKey(words.slice(-n).join(' ')) !== null) taken = n;
    if (taken === 0) continue;
    const cut = words.slice(0, words.length - taken).join(' ').length;
    pieces.push(part.slice(from, from + cut));
    from += cut;
  }
  return [...pieces, part.slice(from)];
}

/** `key: value` or `key = value` inside one cell. */
function inlinePair(cell: string): { key: string; value: string } | null {
  const at = cell.search(/[:=]/);
  if (at < 1 || at > 60) return null;
  const value = cell
    .slice(at + 1)
    .trim()
    .replace(/^"([^"]*)"?,?$/, '$1');
  return value === '' || !/[a-zµ]/i.test(cell.slice(0, at))
    ? null
    : { key: cell.slice(0, at).replaceAll('"', '').trim(), value };
}

/** `RBW 10 kHz`, `RMS detector`, `64 averages`: a known key and its value with nothing but a blank between. */
function runTogether(cell: string): { key: KnownKey; value: string } | null {
  if (cell.length > 80 || !cell.includes(' ')) return null;
  const behind = /^([a-z][a-z .()-]*?) ([+-]?\d.*)$/i.exec(cell);
  if (behind !== null) {
    const key = knownKey(behind[1]!);
    if (key !== null && key.field !== 'known but of no use') return { key, value: behind[2]! };
  }
  const before = /^(\S+) ([a-z]+)$/i.exec(cell);
  const key = before === null ? null : knownKey(before[2]!);
  if (key === null) return null;
  const counted = key.field === 'averages' && isNumber(before![1]!);
  return counted || key.field === 'detector' ? { key, value: before![1]! } : null;
}

type KnownKey = Omit<Statement, 'values' | 'line'>;

const TRACE_IN_KEY = /^(?:trace|kurve|tr) ?(\d{1,2}|[a-f])(?: |$)(.*)$/;

/** A key that stands for a field, with its unit and trace taken off; null for any other text. */
function knownKey(text: string): KnownKey | null {
  if (text.length > 60 || isNumber(text)) return null;
  const bracket = /[([{]\s*([^()[\]{}]*)\s*[)\]}]/.exec(text);
  let keyUnit = bracket === null ? '' : bracket[1]!.replace(/^unit ?[:=]? ?/i, '');
  let key = plainKey(bracket === null ? text : text.replace(bracket[0], ' '));
  let field = fieldOf(key);
  if (field === null) {
    const tail = /^(.+) (\S+)$/.exec(key);
    if (tail !== null && isUnit(tail[2]!)) {
      field = fieldOf(tail[1]!);
      if (field !== null) {
        keyUnit = tail[2]!;
        key = tail[1]!;
      }
    }
  }
  if (field !== null) return { field, key: text, keyUnit, trace: null };
  const numbered = TRACE_IN_KEY.exec(key);
  if (numbered === null) return null;
  const trace = /\d/.test(numbered[1]!) ? Number(numbered[1]) - 1 : numbered[1]!.charCodeAt(0) - 97;
  const rest = fieldOf(numbered[2]!) ?? fieldOf(`trace ${numbered[2]!}`.trim());
  return rest === null || trace < 0 ? null : { field: rest, key: text, keyUnit, trace };
}

function isUnit(text: string): boolean {
  return frequencyFactor(text) !== null || timeFactor(text) !== null || parseLevelUnit(text) !== null;
}

/** True for a line that states something known: it is preamble, and no row of column names. */
export function statesSomething(text: string, dialect: Dialect): boolean {
  return statementsOf(text, 0, dialect).length > 0;
}

/** A value as a frequency in Hz: its own unit, the next cell, the unit in the key, else Hz. Null where it is none. */
export function frequencyValue({ values, keyUnit }: Statement): number | null {
  const read = numberWithUnit(values[0]!);
  if (read === null) return null;
  const unit = read.unit.split(/[\s(,]/)[0]!;
  const factor =
    frequencyFactor(unit) ?? (unit === '' ? (frequencyFactor(values[1] ?? '') ?? frequencyFactor(keyUnit) ?? 1) : null);
  return factor === null ? null : Number((read.value * factor).toPrecision(15));
}
