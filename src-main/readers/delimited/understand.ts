import type { LevelUnit } from '../../model/level-unit.ts';
import { chosenDialect } from './commas.ts';
import { detectDialect, findTables, sampleLines, type DialectScore, type FoundTables } from './find-tables.ts';
import { writePlainCells } from './plain-cells.ts';
import { withoutSideStatements } from './side-statements.ts';
import type { Dialect } from './rows.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { allLines, type TextBytes } from './text.ts';
import { writeUpright } from './wide-rows.ts';

/** A text with the dialect and the runs of its rows. */
export interface Understood {
  readonly text: TextBytes;
  readonly dialect: Dialect;
  readonly found: FoundTables;
  /** Units that stood in the cells of a column; `Hz` for a column whose numbers are in Hz now. */
  readonly units: readonly (LevelUnit | 'Hz' | null)[];
  /** How the text was written anew, in words for the user; null where it stands as it was. */
  readonly rewritten: string | null;
  /** True where lines of the text are no longer lines of the file. */
  readonly upright: boolean;
  readonly warnings: readonly string[];
}

/** Few rows of many columns are traces lying on their side. */
const FEW_ROWS = 12;
const MANY_COLUMNS = 16;
const LARGEST_UPRIGHT = 1 << 27;

/**
 * The rows of a text: as they stand, or written anew where traces lie on their side or few lines are plain numbers.
 *
 * @throws InputError where commas or units can be read in two ways
 */
export function understand(text: TextBytes, file: string, hints: ReadingHints): Understood {
  const lines = sampleLines(text.bytes);
  const stated = statedDialect(hints);
  if (stated !== null)
    return {
      text,
      dialect: stated,
      found: findTables(text.bytes, stated, file),
      units: [],
      rewritten: 'separator and decimal mark as you state',
      upright: false,
      warnings: [],
    };
  const score = detectDialect(text.bytes, lines);
  const asItStands = { units: [], rewritten: null, upright: false, warnings: [] };

  if (mayLieOnItsSide(score) && text.bytes.length <= LARGEST_UPRIGHT) {
    const written = writeUpright(allLines(text));
    if (written !== null) {
      const found = findTables(written.bytes, written.dialect, file);
      const upright = { ...text, bytes: written.bytes, encoding: 'UTF-8' as const };
      return {
        ...asItStands,
        text: upright,
        dialect: written.dialect,
        found,
        upright: true,
        rewritten: 'one trace a line',
      };
    }
  }
  const side = score === null || score.columns < 3 ? null : withoutSideStatements(text, markOf(score.dialect));
  if (side !== null) {
    const found = findTables(side.bytes, side.dialect, file);
    const apart = { ...text, bytes: side.bytes, encoding: 'UTF-8' as const };
    return {
      ...asItStands,
      text: apart,
      dialect: side.dialect,
      found,
      upright: true,
      rewritten: 'settings beside the first rows',
    };
  }
  const rowLike = lines.filter(({ start, end }) => startsLikeRow(text.bytes, start, end)).length;
  if (score === null || score.rows < 2 || (score.columns === 1 ? rowLike > 0 : score.rows < 0.5 * rowLike)) {
    const written = writePlainCells(text, file);
    const found = written === null ? null : findTables(written.bytes, written.dialect, file);
    if (written !== null && found!.tables.some(({ rows }) => rows > 1 && rows > (score?.rows ?? 0) / 2)) {
      const plain = { ...text, bytes: written.bytes, encoding: 'UTF-8' as const };
      const { dialect, units, warnings } = written;
      return {
        text: plain,
        dialect,
        found: found!,
        units,
        warnings,
        upright: false,
        rewritten: 'cells with more than a number',
      };
    }
  }
  const dialect = chosenDialect(text.bytes, lines, score?.dialect ?? { delimiter: 44, decimalComma: false }, file);
  return { ...asItStands, text, dialect, found: findTables(text.bytes, dialect, file) };
}

/** The dialect the user states; the other half of it by common use. Null where nothing is stated. */
function statedDialect({ separator, decimalMark }: ReadingHints): Dialect | null {
  if (separator === undefined && decimalMark === undefined) return null;
  const decimalComma = decimalMark === ',';
  return { delimiter: (separator ?? (decimalComma ? ';' : ',')).charCodeAt(0), decimalComma };
}

function markOf({ delimiter }: Dialect): ',' | ';' | '\t' {
  return delimiter === 9 ? '\t' : delimiter === 59 ? ';' : ',';
}

function mayLieOnItsSide(score: DialectScore | null): boolean {
  return score === null || (score.rows <= FEW_ROWS && (score.columns >= MANY_COLUMNS || score.rows < 2));
}

/** A line that begins with a digit, a sign, a quote or a bracket and holds a delimiter: a row, or one that should be. */
function startsLikeRow(bytes: Uint8Array, start: number, end: number): boolean {
  let i = start;
  while (i < end && ' "+-(['.includes(String.fromCharCode(bytes[i]!))) i++;
  if (!(bytes[i]! >= 48 && bytes[i]! <= 57)) return false;
  for (; i < end; i++) if (bytes[i] === 59 || bytes[i] === 9 || bytes[i] === 124 || bytes[i] === 44) return true;
  return false;
}
