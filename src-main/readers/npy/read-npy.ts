import type { ByteSource } from '../../model/byte-source.ts';
import { UNKNOWN_SETTINGS, type ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { Recording, StoredSamples } from '../../model/recording.ts';
import type { Waterfall } from '../../model/waterfall.ts';
import { columnsCapture, type NamedColumn } from '../spectra/columns-capture.ts';
import { unitOfLevels } from '../spectra/unit-of-levels.ts';
import { waterfallTraces } from '../spectra/waterfall-traces.ts';
import { readColumns, readNumbers, readRows, type Numbers } from './columns.ts';
import { readNpyHeader, type NpyHeader } from './header.ts';

/** An array of two dimensions with fewer rows (or columns) than this holds channels or columns beside each other, not spectra. */
const MOST_CHANNELS = 16;
/** Arrays of two dimensions are read as a whole. */
const MOST_BYTES = 1 << 29;

/**
 * Reads a NumPy array. An array has no axis of its own, so what it is follows from its shape and from what the user says:
 *
 * - complex numbers, or real ones with a sample rate: a record of samples (one channel, or a few beside each other);
 * - a row or column that rises throughout beside others: an axis and what is measured along it;
 * - with a first frequency and a step: one spectrum, or in two dimensions a spectrum a row (a waterfall);
 * - records with named fields: columns by their names.
 *
 * @throws InputError where nothing says what the numbers are, with what to say
 */
export function readNpy(source: ByteSource, file: string, hints: ReadingHints): ReadCapture {
  const header = readNpyHeader(source, file);
  const { shape, number } = header;
  const layout = `NumPy array, ${number === null ? `records of ${header.fields.map(({ name }) => name).join(', ')}` : kindWords(number)}, shape (${shape.join(', ')})`;
  if (shape.length > 2 || shape.length === 0)
    throw new InputError({
      file,
      place: 'header, shape',
      found: `${shape.length} dimensions`,
      expected: 'one or two',
      wayOut: 'Save one spectrum, one record or one waterfall a file.',
    });
  if (shape.length === 2 && source.length > MOST_BYTES)
    throw new InputError({
      file,
      place: 'header, shape',
      found: `an array of two dimensions in ${source.length} bytes`,
      expected: `at most ${MOST_BYTES} bytes`,
      wayOut: 'Save fewer rows a file.',
    });
  return { ...understood(source, file, header, hints), layout };
}

function understood(source: ByteSource, file: string, header: NpyHeader, hints: ReadingHints): ReadCapture {
  const { number, shape } = header;
  // a column or a row alone is an array of one dimension
  if (shape.length === 2 && shape.includes(1))
    return understood(source, file, { ...header, shape: [shape[0]! * shape[1]!] }, hints);
  if (number === null) return columnsCapture(fieldColumns(source, file, header), file, hints, '');
  if (shape.length === 1) {
    if (number.complex || hints.sampleRateHz !== undefined) return record(stored(header), [''], header, file, hints);
    const { real } = readNumbers(source, file, number, header.dataAt, shape[0]!, header.itemBytes);
    return spectra([real], file, hints);
  }
  const [rows, columns] = shape as [number, number];
  const lying = columns > rows;
  const series = lying ? readRows(source, file, header) : readColumns(source, file, header);
  const few = series.length <= MOST_CHANNELS;
  if (few && !number.complex && hints.startHz === undefined && series.length > 1 && rises(series[0]!.real))
    return columnsCapture(
      series.map(({ real }) => ({ name: '', values: real })),
      file,
      hints,
      '',
    );
  if (number.complex || (hints.sampleRateHz !== undefined && few)) {
    if (!few) throw unclear(file, header, 'a waterfall of complex numbers');
    return record(
      { kind: 'held', channels: series },
      series.map((_, c) => `channel ${c + 1}`),
      header,
      file,
      hints,
    );
  }
  return spectra(readRows(source, file, header).map(realOf), file, hints);
}

const realOf = ({ real }: Numbers): Float64Array => real;

/** Rows of levels over the axis that the user states. */
function spectra(rows: readonly Float64Array[], file: string, hints: ReadingHints): ReadCapture {
  const { startHz, stepHz } = hints;
  const n = rows[0]!.length;
  if (startHz === undefined || stepHz === undefined || !(stepHz > 0) || n < 2)
    throw new InputError({
      file,
      place: 'the whole array',
      found: `${rows.length > 1 ? `${rows.length} rows of ` : ''}${n} numbers without an axis`,
      expected: 'frequencies beside the levels, or a first frequency and a step, or (for samples) a sample rate',
      wayOut: 'State the first frequency and the step for spectra, or the sample rate for samples, when opening it.',
    });
  const warnings = ['The frequencies are computed from the first frequency and the step that you state.'];
  const level = new Float64Array(rows.length * n);
  rows.forEach((row, r) => level.set(row, r * n));
  for (let i = 0; i < level.length; i++) if (!Number.isFinite(level[i]!)) level[i] = NaN;
  const waterfall: Waterfall = {
    label: '',
    frequencyHz: Float64Array.from({ length: n }, (_, i) => Number((startHz + i * stepHz).toPrecision(15))),
    rows: rows.length,
    level,
    unit: unitOfLevels(null, hints.unit, level, warnings),
    rowStartS: null,
    takenAt: null,
  };
  return {
    layout: '',
    traces: waterfallTraces(waterfall, UNKNOWN_SETTINGS),
    ...(rows.length > 1 ? { waterfalls: [waterfall] } : {}),
    warnings,
  };
}

function record(
  samples: Recording['samples'],
  names: readonly string[],
  header: NpyHeader,
  file: string,
  hints: ReadingHints,
): ReadCapture {
  const { complex, type } = header.number!;
  if (hints.sampleRateHz === undefined || !(hints.sampleRateHz > 0)) throw unclear(file, header, 'samples');
  const sampleCount = samples.kind === 'held' ? samples.channels[0]!.real.length : header.shape[0]!;
  const warnings = ['The sample rate is the one that you state; the file has none.'];
  if (complex && hints.centreHz === undefined)
    warnings.push('Nobody says which frequency was tuned to: frequencies count from that centre.');
  const integer = !type.startsWith('f');
  if (integer)
    warnings.push(
      `The samples are whole numbers of ${type.slice(1)} bits: their full scale is taken as the converter's.`,
    );
  const scale = integer ? 2 ** (1 - Number(type.slice(1))) : 1;
  return {
    layout: '',
    traces: [],
    recordings: [
      {
        label: '',
        complex,
        channels: names.map((name) => ({
          name,
          unit: hints.unit ?? (integer ? 'FS' : 'unknown'),
          scale,
          offset: type.startsWith('u') ? -1 : 0,
          fullScale: integer ? 1 - scale : null,
        })),
        samples,
        sampleCount,
        sampleRateHz: hints.sampleRateHz,
        centreHz: hints.centreHz ?? null,
        unevenness: null,
        takenAt: null,
        annotations: [],
        stated: [],
      },
    ],
    warnings,
  };
}

function stored({ number, shape, dataAt }: NpyHeader): StoredSamples {
  return {
    kind: 'stored',
    dataFile: null,
    type: number!.type,
    bigEndian: number!.bigEndian,
    stretches: [{ offsetBytes: dataAt, sampleCount: shape[0]! }],
  };
}

function fieldColumns(source: ByteSource, file: string, header: NpyHeader): NamedColumn[] {
  const rows = header.shape.reduce((n, extent) => n * extent, 1);
  return header.fields.map((field) => ({
    name: field.name,
    values: readNumbers(source, file, field, header.dataAt + field.at, rows, header.itemBytes).real,
  }));
}

function rises(values: Float64Array): boolean {
  if (values.length < 3) return false;
  for (let i = 1; i < values.length; i++) if (!(values[i]! > values[i - 1]!)) return false;
  return true;
}

function kindWords({ type, complex, bigEndian }: NonNullable<NpyHeader['number']>): string {
  const kind = type.startsWith('f') ? 'float' : type.startsWith('u') ? 'unsigned' : 'integer';
  return `${complex ? 'complex ' : ''}${kind} ${type.slice(1)} bit${type.endsWith('8') && type.length === 2 ? '' : bigEndian ? ' big-endian' : ' little-endian'}`;
}

function unclear(file: string, { shape }: NpyHeader, what: string): InputError {
  return new InputError({
    file,
    place: 'the whole array',
    found: `${what} of the shape (${shape.join(', ')}) without a sample rate`,
    expected: 'a sample rate',
    wayOut: 'State the sample rate when opening the file.',
  });
}
