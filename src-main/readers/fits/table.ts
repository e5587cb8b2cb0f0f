import type { ByteSource } from '../../model/byte-source.ts';
import { NUMBER_READERS } from '../../model/read-samples.ts';
import type { SampleType } from '../../model/recording.ts';
import { characters, viewAt } from '../binary/read-at.ts';
import { numberOf, problem, textOf, type HeaderDataUnit } from './header.ts';

/** A column of numbers: `repeat` of them in each row, row after row. */
export interface TableColumn {
  /** Counted from 1, as in the keywords. */
  readonly number: number;
  readonly name: string;
  readonly unit: string | null;
  readonly repeat: number;
  readonly rows: number;
  readonly values: Float64Array;
}

const WIDTHS: Readonly<Record<string, number>> = {
  L: 1,
  X: 0,
  B: 1,
  I: 2,
  J: 4,
  K: 8,
  A: 1,
  E: 4,
  D: 8,
  C: 8,
  M: 16,
  P: 8,
  Q: 16,
};
const TYPES: Readonly<Record<string, SampleType>> = { B: 'u8', I: 'i16', J: 'i32', K: 'i64', E: 'f32', D: 'f64' };
const MOST_FIELDS = 999;
const MOST_VALUES = 1 << 26;

/**
 * The numeric columns of a binary table: TZEROn + TSCALn · stored, NaN for TNULLn and for what is not finite. Text, logical, complex
 * and variable-length columns are passed over (FITS Standard 4.0, section 7.3).
 *
 * @throws InputError where the rows are not all there or the columns are wider than a row
 */
export function binaryColumns(source: ByteSource, file: string, unit: HeaderDataUnit): TableColumn[] {
  const { cards, shape, dataAt } = unit;
  const [rowBytes, rows] = [shape[0] ?? 0, shape[1] ?? 0];
  const fields = Math.min(numberOf(cards, 'TFIELDS') ?? 0, MOST_FIELDS);
  const view = viewAt(source, file, dataAt, rowBytes * rows, 'table rows');
  const columns: TableColumn[] = [];
  let at = 0;
  for (let n = 1; n <= fields; n++) {
    const format = /^\s*(\d{0,9})([LXBIJKAEDCMPQ])/.exec(textOf(cards, `TFORM${n}`) ?? '');
    if (format === null)
      throw problem(file, dataAt, `TFORM${n} = “${textOf(cards, `TFORM${n}`) ?? ''}”`, 'a format such as 1D');
    const repeat = format[1] === '' ? 1 : Number(format[1]);
    const kind = format[2]!;
    const width = kind === 'X' ? Math.ceil(repeat / 8) : repeat * WIDTHS[kind]!;
    if (at + width > rowBytes)
      throw problem(file, dataAt, `columns of more than the ${rowBytes} bytes of a row`, 'columns that fit');
    const type = TYPES[kind];
    if (type !== undefined && repeat > 0 && rows > 0) {
      if (repeat * rows > MOST_VALUES) throw problem(file, dataAt, `${repeat * rows} values`, `at most ${MOST_VALUES}`);
      const scale = numberOf(cards, `TSCAL${n}`) ?? 1;
      const zero = numberOf(cards, `TZERO${n}`) ?? 0;
      const missing = type.startsWith('f') ? null : numberOf(cards, `TNULL${n}`);
      const read = NUMBER_READERS[type];
      const values = new Float64Array(repeat * rows);
      for (let r = 0, k = 0; r < rows; r++)
        for (let i = 0, p = r * rowBytes + at; i < repeat; i++, k++, p += WIDTHS[kind]!) {
          const stored = read(view, p, false);
          const value = zero + scale * stored;
          values[k] = stored === missing || !Number.isFinite(value) ? NaN : value;
        }
      columns.push({ ...headOf(unit, n), repeat, rows, values });
    }
    at += width;
  }
  return columns;
}

/** The numeric columns of a table of text: Iw, Fw.d, Ew.d and Dw.d at TBCOLn (FITS Standard 4.0, section 7.2). Throws InputError. */
export function textColumns(source: ByteSource, file: string, unit: HeaderDataUnit): TableColumn[] {
  const { cards, shape, dataAt } = unit;
  const [rowBytes, rows] = [shape[0] ?? 0, shape[1] ?? 0];
  const fields = Math.min(numberOf(cards, 'TFIELDS') ?? 0, MOST_FIELDS);
  const view = viewAt(source, file, dataAt, rowBytes * rows, 'table rows');
  const columns: TableColumn[] = [];
  let widths = 0;
  for (let n = 1; n <= fields; n++) {
    const format = /^\s*([IFED])(\d{1,4})(?:\.(\d{1,3}))?/.exec(textOf(cards, `TFORM${n}`) ?? '');
    const start = (numberOf(cards, `TBCOL${n}`) ?? 0) - 1;
    if (format === null || rows === 0) continue;
    const width = Number(format[2]);
    widths += width;
    // columns that overlay each other would be read many times
    if (start < 0 || start + width > rowBytes || widths > rowBytes)
      throw problem(file, dataAt, `column ${n} at byte ${start + 1} of a row of ${rowBytes}`, 'columns that fit');
    const scale = numberOf(cards, `TSCAL${n}`) ?? 1;
    const zero = numberOf(cards, `TZERO${n}`) ?? 0;
    const missing = textOf(cards, `TNULL${n}`);
    const implied = format[1] === 'I' ? 0 : Number(format[3] ?? 0);
    const values = new Float64Array(rows);
    for (let r = 0; r < rows; r++) {
      const cell = characters(view, r * rowBytes + start, r * rowBytes + start + width).trim();
      values[r] = cell === missing || cell === '' ? NaN : zero + scale * textNumber(cell, implied);
    }
    columns.push({ ...headOf(unit, n), repeat: 1, rows, values });
  }
  return columns;
}

/** A Fortran number: without a decimal point the last `implied` digits are decimals. */
function textNumber(cell: string, implied: number): number {
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)(?:[ED]?[+-]?\d+)?$/i.test(cell)) return NaN;
  const value = Number(cell.replace(/[dD]/, 'e'));
  return cell.includes('.') || implied === 0 ? value : value / 10 ** implied;
}

function headOf({ cards }: HeaderDataUnit, n: number): { number: number; name: string; unit: string | null } {
  return { number: n, name: textOf(cards, `TTYPE${n}`) ?? `column ${n}`, unit: textOf(cards, `TUNIT${n}`) };
}
