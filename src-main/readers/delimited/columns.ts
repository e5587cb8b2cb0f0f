import type { LevelUnit } from '../../model/level-unit.ts';
import { frequencyFactor, parseLevelUnit, timeFactor } from '../../units/parse-unit.ts';
import {
  isNumber,
  numberWithUnit,
  spelledPlainly,
  splitAt,
  splitCells,
  withoutCommentMark,
  withoutEmptyTail,
  type Line,
} from './cells.ts';
import { BLANK, type Dialect } from './rows.ts';
import { statesSomething } from './statements.ts';

/** What the header says of one column. */
export interface ColumnHeader {
  /** The name without its unit, '' where there is none. */
  readonly name: string;
  /** The name as it stands in the file: brackets may hold a trace mode. */
  readonly written: string;
  /** `other` is a column that is no spectrum: a phase, a limit, a margin. */
  readonly role: 'frequency' | 'time' | 'index' | 'level' | 'other' | 'unknown';
  readonly frequencyFactor: number | null;
  /** Seconds a number of a time column stands for; null where nobody says, or for other columns. */
  readonly timeFactor: number | null;
  readonly levelUnit: LevelUnit | null;
  /** True where the unit is only hinted at by a name such as Va. */
  readonly unitFromName: boolean;
  /** What stands where a unit should and is none anyone knows. */
  readonly unreadUnit: string | null;
}

const FREQUENCY_NAME =
  /^(?:.*[ _])?(?:freq|frequency|frequencies|frequenz|fréquence|frequence|frecuencia|frequenza)(?:$|[ _.\d])/i;
const SHORT_FREQUENCY_NAME = /^(?:f|x axis|[kmg]?hz)$/i;
const TIME_NAME = /^(?:time|zeit|t|times|seconds?|sec|timestamp)(?:$|[ _])|"zeit"/i;
const INDEX_NAME = /^(?:index|idx|no\.?|nr\.?|#|point|points?|sample|sequence|n|bin|row|i|line|lfd\.? nr\.?)$/i;
const LEVEL_NAME =
  /level|pegel|ampl|magn|power|psd|spectr|\bdb|trace|volt|spannung|reading|messwert|peak|average|max ?hold/i;
/** Names of an oscilloscope's or a recorder's channels. */
const CHANNEL_NAME = /^(?:ch|chan|channel|kanal)[ _.-]?[a-z0-9]{1,3}$/i;
const OTHER_NAME =
  /phase|\blimit|grenzwert|margin|abstand|\bangle|azimut|height|polari[sz]|correction|transducer|\bfactor|antenna|cable loss|temperature|uncertainty|std|deviation|\bdate\b|azimuth|\bwidth\b/i;
const OTHER_UNIT = /^(?:deg|degrees|°|rad|%|m|cm|Ω|ohm|ppm|k|°c)$/i;
/** Lines above a table that can be rows of its header. */
const MOST_HEADER_ROWS = 3;

/** The rows above a table that name its columns, from top to bottom, and the lines that are not part of them. */
export function findHeader(
  above: readonly Line[],
  columns: number,
  dialect: Dialect,
): { rows: readonly (readonly string[])[]; rest: readonly Line[] } {
  const rows: string[][] = [];
  let i = above.length - 1;
  for (; i >= 0 && rows.length < MOST_HEADER_ROWS; i--) {
    const cells = headerCells(above[i]!.text, columns, dialect, rows.length === 0);
    if (cells === null) {
      // one line such as DATA or a comment mark may stand between the header and the table
      if (
        rows.length === 0 &&
        i === above.length - 1 &&
        above[i]!.text.trim().length < 24 &&
        !/[,;=\d]/.test(above[i]!.text)
      )
        continue;
      break;
    }
    rows.unshift(cells);
  }
  if (rows.length === 0) return { rows, rest: above };
  return { rows, rest: above.slice(0, i + 1) };
}

/** Cells of a line that can name `columns` columns, or null. A statement (key and value) is none. */
function headerCells(text: string, columns: number, dialect: Dialect, nearest: boolean): string[] | null {
  const plain = withoutCommentMark(
    spelledPlainly(text.slice(0, 2000).replace(/[^\S\t]{3,}/g, '  ')),
    dialect.delimiter === BLANK ? -1 : dialect.delimiter,
  );
  if (plain.trim() === '') return null;
  const cells = splitIntoNames(plain, columns, dialect);
  if (cells === null || !cells.some((cell) => /[a-zµ]/i.test(cell))) return null;
  const named = cells.some(isFrequencyName);
  const values = cells.filter((cell) => isNumber(cell) || (numberWithUnit(cell)?.unit ?? '') !== '').length;
  if (values > 0 && !(named && columns > 2)) return null;
  const allUnits = cells.length === columns && cells.every((cell) => isUnit(bare(cell)) || unitInName(cell) !== null);
  if ((columns === 1 || (!named && !allUnits)) && statesSomething(plain, dialect)) return null;
  if (named && columns === 2 && cells.length === 2 && cells[1] === '') return null;
  const speaking = named || cells.some((cell) => isUnit(bare(cell)) || unitInName(cell) !== null);
  if (columns === 1) return speaking || LEVEL_NAME.test(plain) ? cells : null;
  if (speaking) return cells;
  const full = cells.length === columns;
  return full && (nearest || cells.some((cell) => LEVEL_NAME.test(cell) || CHANNEL_NAME.test(cell))) ? cells : null;
}

/** A header may part its names otherwise than the rows part their numbers: the way that gives one name a column is taken. */
function splitIntoNames(text: string, columns: number, dialect: Dialect): string[] | null {
  const own = splitCells(text, dialect);
  const ownBare = withoutEmptyTail(own);
  if (dialect.delimiter !== BLANK && (ownBare.length === columns || own.length === columns))
    return own.slice(0, columns);
  const ways = [
    splitAt(text, '\t'),
    splitAt(text, ';'),
    splitAt(text, ','),
    splitAt(text, '|'),
    text.trim().split(/ {2,}|\t/),
    text.trim().split(/(?<=[)\]]) (?=\S)/),
    own,
  ];
  for (const way of ways) if (withoutEmptyTail(way).length === columns) return withoutEmptyTail(way);
  // a row with units for the first columns only
  if (ownBare.length > 0 && ownBare.length < columns && ownBare.every((cell) => cell === '' || isUnit(bare(cell))))
    return ownBare;
  if (dialect.delimiter !== BLANK && own.length > 1 && ownBare.length < columns && ownBare.length > 1) return ownBare;
  // more names than columns: settings or units of no column stand behind
  return dialect.delimiter !== BLANK && ownBare.length > columns && ownBare.length <= columns + 3
    ? ownBare.slice(0, columns)
    : null;
}

/**
 * Reads the header rows above a table.
 *
 * A unit stands in brackets or behind a slash or comma in the name, or alone in a row of units. A unit row beats the name:
 * a column called Frequency whose unit row says ms is a time record.
 *
 * @param rows header rows from top to bottom, each split into cells
 */
export function readHeader(rows: readonly (readonly string[])[], columns: number): ColumnHeader[] {
  return Array.from({ length: columns }, (_, c) =>
    readColumn(rows.map((row) => (row[c] ?? '').trim()).filter((cell) => cell !== '')),
  );
}

function readColumn(cells: readonly string[]): ColumnHeader {
  let written = '';
  let unitText: string | null = null;
  let unreadUnit: string | null = null;
  for (const cell of cells) {
    const alone = bare(cell);
    if (isUnit(alone) || OTHER_UNIT.test(alone)) {
      unitText = alone;
      continue;
    }
    if (written === '' || !/[a-z]/i.test(written)) written = cell;
    const inside = unitInName(cell);
    if (inside !== null) unitText = inside;
    else unreadUnit = /[([]\s*([^)\]]{1,20})[)\]]/.exec(cell)?.[1] ?? unreadUnit;
  }
  const name = withoutUnit(written, unitText);
  const frequency = unitText === null ? frequencyFactor(name) : frequencyFactor(unitText);
  const level = unitText === null ? null : parseLevelUnit(unitText);
  const nameIsUnit = parseLevelUnit(name);
  const role = roleOf(name, unitText, frequency, level ?? nameIsUnit);
  const hinted =
    role === 'level' || role === 'unknown' ? (level === null && nameIsUnit === null ? unitHintedBy(name) : null) : null;
  return {
    name,
    written,
    role: role === 'unknown' && hinted !== null ? 'level' : role,
    frequencyFactor: role === 'frequency' ? frequency : null,
    timeFactor: role === 'time' ? timeFactor(unitText ?? name) : null,
    levelUnit: role === 'level' || role === 'unknown' ? (level ?? nameIsUnit ?? hinted) : null,
    unitFromName: hinted !== null,
    unreadUnit: unitText === null && unreadUnit !== null && /^d ?b|hz$/i.test(unreadUnit) ? unreadUnit : null,
  };
}

function roleOf(
  name: string,
  unit: string | null,
  frequency: number | null,
  level: LevelUnit | null,
): ColumnHeader['role'] {
  if (frequency !== null) return 'frequency';
  if (unit !== null && timeFactor(unit) !== null) return 'time';
  if (unit !== null && OTHER_UNIT.test(unit)) return 'other';
  if (OTHER_NAME.test(name) && !FREQUENCY_NAME.test(name)) return 'other';
  if (level !== null) return 'level';
  if (TIME_NAME.test(name)) return 'time';
  if (FREQUENCY_NAME.test(name) || SHORT_FREQUENCY_NAME.test(name)) return 'frequency';
  if (INDEX_NAME.test(name)) return 'index';
  return name !== '' && LEVEL_NAME.test(name) ? 'level' : 'unknown';
}

function isFrequencyName(cell: string): boolean {
  const name = cell.replace(/\s*[([][^)\]]*[)\]]\s*/g, ' ').trim();
  if (
    /^(?:start|stop|cent(?:er|re)|span|x|y)\b|accuracy|offset|\bstep|\bspan|resolution|\bunits?\b|range|counter|reference/i.test(
      name,
    )
  )
    return /^x axis$/i.test(name);
  return FREQUENCY_NAME.test(name) || SHORT_FREQUENCY_NAME.test(name) || /^f ?[/,]/i.test(name);
}

/** A name without brackets, and without a unit behind a slash, a comma, an underline or “in”. */
function withoutUnit(written: string, unit: string | null): string {
  const name = written.replace(/\s*[([][^)\]]*[)\]]+\s*/g, ' ').trim();
  if (unit === null || !name.endsWith(unit) || name.length === unit.length) return name;
  const rest = name.slice(0, -unit.length).replace(/(?:\s*[/,_]\s*|\s+in\s+)$/, '');
  return rest === '' ? name : rest.trim();
}

/** The text without brackets that hold all of it. */
function bare(cell: string): string {
  return cell.replace(/^[([]\s*(.*?)\s*[)\]]$/, '$1');
}

function isUnit(text: string): boolean {
  return frequencyFactor(text) !== null || timeFactor(text) !== null || parseLevelUnit(text) !== null;
}

/** The unit inside a name: `Level (dBm)`, `Level [dBµV]`, `Freq/MHz`, `Amplitude, dBm`, `dBm trace 1`. */
function unitInName(cell: string): string | null {
  for (const [, open] of cell.matchAll(/[([]([^)\]]{1,24}\)?)[)\]]/g)) {
    const plain = open!.replace(/^\s*unit ?:? ?/i, '').trim();
    for (const text of [plain, plain.replace(/\)$/, ''), plain.split(/,/)[0]!]) if (isUnit(text)) return text;
  }
  // a unit that holds brackets itself: Level (dB(µV/m))
  const nested = /[([]\s*(dB ?\([^()]{1,8}\))/i.exec(cell)?.[1];
  if (nested !== undefined && isUnit(nested)) return nested;
  for (const at of [cell.indexOf('/'), cell.lastIndexOf(','), cell.indexOf(' in ') + 3])
    if (at > 0 && at !== 2) {
      const behind = cell.slice(at + 1).trim();
      if (isUnit(behind)) return behind;
    }
  const last = cell.lastIndexOf('/');
  if (last > 0 && isUnit(cell.slice(last + 1).trim())) return cell.slice(last + 1).trim();
  // level_dbm, freqHz: a unit of two letters or more as the last word of a name run together
  const tail = /^[a-z].*(?:_|(?<=[a-z]))((?<=_)[a-zµ]{2,6}|[A-Z][A-Za-zµ]{1,5})$/.exec(cell)?.[1];
  if (tail !== undefined && isUnit(tail)) return tail;
  const word = /(?:^|[\s_])(dB[µu]?[VAmW]?(?:\/m)?(?:\/Hz)?|[kMG]?Hz)(?:$|[\s_])/.exec(cell)?.[1];
  return word !== undefined && isUnit(word) ? word : null;
}

/** Names that only hint at a unit: Va, Vout, U1 → volt; Ia, I1 → ampere; Amplitude or Magnitude say nothing. */
function unitHintedBy(name: string): LevelUnit | null {
  if (/^[VU](?:[a-z]{1,3}|_?\w{1,4})?$/.test(name) && !/^(?:val|value|unit|view|vbw)$/i.test(name))
    return { name: 'V', scale: 'amplitude', perHz: false };
  if (/^I(?:[a-z]|_?\d|_\w{1,4})?$/.test(name)) return { name: 'A', scale: 'amplitude', perHz: false };
  return null;
}

/** Rising everywhere, falling everywhere, or neither. Equal neighbours are neither. */
export function directionOf(column: Float64Array): 1 | -1 | 0 {
  if (column.length < 2) return 0;
  if (column[1]! > column[0]!) {
    for (let i = 1; i < column.length; i++) if (!(column[i]! > column[i - 1]!)) return 0;
    return 1;
  }
  for (let i = 1; i < column.length; i++) if (!(column[i]! < column[i - 1]!)) return 0;
  return -1;
}

/** Whole numbers counting up by one from 0 or 1. */
export function isCounting(column: Float64Array): boolean {
  if (column[0] !== 0 && column[0] !== 1) return false;
  for (let i = 1; i < column.length; i++) if (column[i]! - column[i - 1]! !== 1) return false;
  return true;
}
