import type { ByteSource } from '../../model/byte-source.ts';
import { NUMBER_READERS } from '../../model/read-samples.ts';
import { SAMPLE_BYTES } from '../../model/recording.ts';
import { viewAt } from '../binary/read-at.ts';
import type { NpyHeader, NpyNumber } from './header.ts';

/** Numbers, real and imaginary apart. */
export interface Numbers {
  readonly real: Float64Array;
  readonly imaginary: Float64Array | null;
}

/** `count` numbers of one kind, `strideBytes` from one to the next. */
export function readNumbers(
  source: ByteSource,
  file: string,
  number: NpyNumber,
  at: number,
  count: number,
  strideBytes: number,
): Numbers {
  const partBytes = SAMPLE_BYTES[number.type];
  const view = viewAt(source, file, at, (count - 1) * strideBytes + partBytes * (number.complex ? 2 : 1), 'numbers');
  const part = (offset: number): Float64Array => {
    const read = NUMBER_READERS[number.type];
    const values = new Float64Array(count);
    for (let i = 0, p = offset; i < count; i++, p += strideBytes) values[i] = read(view, p, !number.bigEndian);
    return values;
  };
  return { real: part(0), imaginary: number.complex ? part(partBytes) : null };
}

/** A two-dimensional array as rows, whatever its order in the file. */
export function readRows(source: ByteSource, file: string, header: NpyHeader): Numbers[] {
  const [rows, columns] = header.shape as [number, number];
  const { itemBytes, fortranOrder, dataAt, number } = header;
  return Array.from({ length: rows }, (_, r) =>
    fortranOrder
      ? readNumbers(source, file, number!, dataAt + r * itemBytes, columns, rows * itemBytes)
      : readNumbers(source, file, number!, dataAt + r * columns * itemBytes, columns, itemBytes),
  );
}

/** As readRows, turned by a quarter: the columns. */
export function readColumns(source: ByteSource, file: string, header: NpyHeader): Numbers[] {
  return readRows(source, file, {
    ...header,
    shape: [header.shape[1]!, header.shape[0]!],
    fortranOrder: !header.fortranOrder,
  });
}
