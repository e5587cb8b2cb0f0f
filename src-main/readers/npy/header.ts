import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import type { SampleType } from '../../model/recording.ts';
import { characters, viewAt } from '../binary/read-at.ts';

/** One kind of number. */
export interface NpyNumber {
  readonly type: SampleType;
  readonly complex: boolean;
  readonly bigEndian: boolean;
}

/** A named field of a record. */
export interface NpyField extends NpyNumber {
  readonly name: string;
  readonly at: number;
}

export interface NpyHeader {
  /** Null for records, whose fields are in `fields`. */
  readonly number: NpyNumber | null;
  readonly fields: readonly NpyField[];
  readonly itemBytes: number;
  readonly shape: readonly number[];
  readonly fortranOrder: boolean;
  readonly dataAt: number;
}

/** Headers are a line or two; records of thousands of fields are no measurement. */
const MOST_HEADER_BYTES = 1 << 20;

/**
 * The header of a NumPy array file, versions 1.0, 2.0 and 3.0 (NumPy Enhancement Proposal 1 and the documentation of
 * numpy.lib.format): the magic, the version, the header's length in 2 or 4 bytes, and a Python dictionary of `descr`,
 * `fortran_order` and `shape`. Python objects are never read.
 *
 * @throws InputError with the byte or the key that is wrong, also where fewer bytes follow than the shape needs
 */
export function readNpyHeader(source: ByteSource, file: string): NpyHeader {
  const version = viewAt(source, file, 0, 8, 'the magic and version').getUint8(6);
  if (version < 1 || version > 3)
    throw problem(file, 'byte 6', `format version ${version}`, 'version 1, 2 or 3', 'Save the array again with NumPy.');
  const wide = version > 1;
  const length = wide
    ? viewAt(source, file, 8, 4, 'the header length').getUint32(0, true)
    : viewAt(source, file, 8, 2, 'the header length').getUint16(0, true);
  const at = wide ? 12 : 10;
  if (length > MOST_HEADER_BYTES)
    throw problem(file, 'byte 8', `a header of ${length} bytes`, `at most ${MOST_HEADER_BYTES}`, REWRITE);
  const text = characters(viewAt(source, file, at, length, 'the header'));

  const order = /'fortran_order'\s*:\s*(True|False)/.exec(text)?.[1];
  const shapeText = /'shape'\s*:\s*\(([\d\sL,]*)\)/.exec(text)?.[1];
  if (order === undefined) throw problem(file, 'header', 'no fortran_order', 'True or False', REWRITE);
  if (shapeText === undefined) throw problem(file, 'header', 'no shape', 'a tuple of whole numbers', REWRITE);
  const shape = [...shapeText.matchAll(/\d+/g)].map(([digits]) => Number(digits));
  const plain = /'descr'\s*:\s*'([^']{1,40})'/.exec(text)?.[1];
  const number = plain === undefined ? null : numberOf(plain, file);
  const fields = plain === undefined ? fieldsOf(text, file) : [];
  const itemBytes = number === null ? fields.reduce((n, field) => n + bytesOf(field), 0) : bytesOf(number);
  const items = shape.reduce((n, extent) => n * extent, 1);
  const dataAt = at + length;
  const left = source.length - dataAt;
  if (!Number.isSafeInteger(items) || items * itemBytes > left)
    throw problem(
      file,
      `byte ${dataAt}`,
      `${left} bytes of data`,
      `${items * itemBytes} for the shape (${shape.join(', ')})`,
      'The file is cut off or its header damaged: copy or save it again.',
    );
  if (items === 0) throw problem(file, 'header', `the shape (${shape.join(', ')}): no numbers`, 'numbers', REWRITE);
  return { number, fields, itemBytes, shape, fortranOrder: order === 'True', dataAt };
}

const REWRITE = 'Save the array again with NumPy.';
const SIZES: Readonly<Record<string, number>> = {
  i8: 1,
  u8: 1,
  i16: 2,
  u16: 2,
  i32: 4,
  u32: 4,
  i64: 8,
  u64: 8,
  f32: 4,
  f64: 8,
};

function bytesOf({ type, complex }: NpyNumber): number {
  return SIZES[type]! * (complex ? 2 : 1);
}

/** `<f8`, `>i2`, `|u1`, `<c16`: byte order, kind, bytes. */
function numberOf(descr: string, file: string): NpyNumber {
  const match = /^([<>|=]?)([fiuc])(\d{1,2})$/.exec(descr);
  const bytes = match === null ? 0 : Number(match[3]) / (match[2] === 'c' ? 2 : 1);
  const type = match === null ? '' : `${match[2] === 'c' ? 'f' : match[2]!}${8 * bytes}`;
  if (match === null || !(type in SIZES))
    throw problem(
      file,
      'header, descr',
      `“${descr}”`,
      'integers of 8 to 64 bits, floats of 32 or 64, or complex of two such floats',
      'Convert the array before saving it, for example with astype(float).',
    );
  return { type: type as SampleType, complex: match[2] === 'c', bigEndian: match[1] === '>' };
}

/** `[('frequency', '<f8'), ('level', '<f4')]`. */
function fieldsOf(text: string, file: string): NpyField[] {
  // one way only to match each blank: a header of blanks must not be tried in all ways
  const field = String.raw`\(\s*'[^']{0,80}'\s*,\s*'[^']{1,40}'\s*\)`;
  const list = new RegExp(String.raw`'descr'\s*:\s*\[(\s*${field}(?:\s*,\s*${field})*)\s*,?\s*\]`).exec(text)?.[1];
  if (list === undefined)
    throw problem(
      file,
      'header, descr',
      'no kind of number this version reads',
      'a number, or records of plain numbers',
      REWRITE,
    );
  const fields: NpyField[] = [];
  let at = 0;
  for (const [, name, descr] of list.matchAll(/'([^']{0,80})'\s*,\s*'([^']{1,40})'/g)) {
    const number = numberOf(descr!, file);
    fields.push({ ...number, name: name!, at });
    at += bytesOf(number);
  }
  return fields;
}

function problem(file: string, place: string, found: string, expected: string, wayOut: string): InputError {
  return new InputError({ file, place, found, expected, wayOut });
}
