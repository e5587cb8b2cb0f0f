import { frequencyFactor, parseLevelUnit, timeFactor } from '../../units/parse-unit.ts';
import type { LevelUnit } from '../../model/level-unit.ts';

/** What the header says of one column. */
export interface ColumnHeader {
  readonly name: string;
  readonly role: 'frequency' | 'time' | 'index' | 'level' | 'unknown';
  readonly frequencyFactor: number | null;
  readonly levelUnit: LevelUnit | null;
  /** True where the unit is only hinted at by a name such as Va. */
  readonly unitFromName: boolean;
}

const FREQUENCY_NAME = /^(.*\b)?(freq(uency|uenz)?|frequence|fréquence|f|x ?axis)\b|^freq|frequenz/i;
const TIME_NAME = /^(time|zeit|t|seconds?|sec)\b|"zeit"/i;
const INDEX_NAME = /^(index|idx|no\.?|nr\.?|#|point|sample|sequence|n|bin|row|i)$/i;

/**
 * Reads the header rows above a table, the nearest row first.
 *
 * A unit stands in brackets or behind a slash or comma in the name, or alone in a row of units. A unit row beats the name:
 * a column called Frequency whose unit row says ms is a time record.
 *
 * @param rows header rows from top to bottom, each split into cells
 */
export function readHeader(rows: readonly (readonly string[])[], columns: number): ColumnHeader[] {
  return Array.from({ length: columns }, (_, c) => {
    let name = '';
    let unitText: string | null = null;
    for (const row of rows) {
      const cell = (row[c] ?? '').trim();
      if (cell === '') continue;
      const alone = cell.replace(/^[([]\s*(.*?)\s*[)\]]$/, '$1');
      if (isUnit(alone)) unitText = alone;
      else {
        if (name === '' || !/[a-z]/i.test(name)) name = cell;
        const inside = unitInName(cell);
        if (inside !== null) unitText = inside;
      }
    }
    const bare = name.replace(/\s*[([][^)\]]*[)\]]\s*/g, ' ').trim();
    const factor = unitText === null ? null : frequencyFactor(unitText);
    const level = unitText === null ? null : parseLevelUnit(unitText);
    const time = unitText === null ? null : timeFactor(unitText);
    const wordUnit = parseLevelUnit(bare);
    const role =
      time !== null && factor === null
        ? 'time'
        : factor !== null
          ? 'frequency'
          : level !== null || wordUnit !== null
            ? 'level'
            : TIME_NAME.test(bare)
              ? 'time'
              : FREQUENCY_NAME.test(bare)
                ? 'frequency'
                : INDEX_NAME.test(bare)
                  ? 'index'
                  : bare === ''
                    ? 'unknown'
                    : 'level';
    const hinted = level === null && wordUnit === null ? unitHintedBy(bare) : null;
    return {
      name: bare === '' ? '' : bare,
      role,
      frequencyFactor: factor ?? frequencyFactor(bare),
      levelUnit: role === 'level' || role === 'unknown' ? (level ?? wordUnit ?? hinted) : null,
      unitFromName: hinted !== null,
    };
  });
}

function isUnit(text: string): boolean {
  return frequencyFactor(text) !== null || timeFactor(text) !== null || parseLevelUnit(text) !== null;
}

/** The unit inside a name: `Level (dBm)`, `Level [dBµV]`, `Freq/MHz`, `Amplitude, dBm`, `dBm trace 1`. */
function unitInName(cell: string): string | null {
  const bracket = [...cell.matchAll(/[([]\s*([^()[\]]*?(?:\([^()]*\))?)\s*[)\]]/g)].map((match) => match[1]!);
  for (const text of bracket) {
    const plain = text.replace(/^unit:?\s*/i, '');
    if (isUnit(plain)) return plain;
  }
  const behind = /[/,]\s*([^/,()[\]]+(?:\/[^/,()[\]]+)?)$/.exec(cell)?.[1];
  if (behind !== undefined && isUnit(behind)) return behind;
  const word = /(?:^|[\s_])(dB[µμu]?[VAmW]?(?:\/m)?(?:\/Hz)?|[kMG]?Hz)(?:$|[\s_])/.exec(cell)?.[1];
  return word !== undefined && isUnit(word) ? word : null;
}

/** Names that only hint at a unit: Va, Vout, U1 → volt; Ia, I1 → ampere; Amplitude or Magnitude say nothing. */
function unitHintedBy(name: string): LevelUnit | null {
  if (/^[VU](?:[a-z]{1,3}|_?\w{1,4})?$/.test(name) && !/^(val|value|unit|view)$/i.test(name))
    return { name: 'V', scale: 'amplitude', perHz: false };
  if (/^I(?:[a-z]|_?\d|_\w{1,4})?$/.test(name)) return { name: 'A', scale: 'amplitude', perHz: false };
  return null;
}

/** Rising everywhere, falling everywhere, or neither. Equal neighbours are neither. */
export function directionOf(column: Float64Array): 1 | -1 | 0 {
  if (column.length < 2) return 0;
  const direction = Math.sign(column[1]! - column[0]!);
  if (direction !== 1 && direction !== -1) return 0;
  for (let i = 1; i < column.length; i++) if (!(Math.sign(column[i]! - column[i - 1]!) === direction)) return 0;
  return direction;
}

/** Whole numbers counting up by one from 0 or 1. */
export function isCounting(column: Float64Array): boolean {
  if (column[0] !== 0 && column[0] !== 1) return false;
  for (let i = 1; i < column.length; i++) if (column[i]! - column[i - 1]! !== 1) return false;
  return true;
}
