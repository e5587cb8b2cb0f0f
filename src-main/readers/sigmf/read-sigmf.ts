import type { ByteSource } from '../../model/byte-source.ts';
import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import {
  SAMPLE_BYTES,
  type Recording,
  type RecordingAnnotation,
  type RecordingChannel,
} from '../../model/recording.ts';
import { viewAt } from '../binary/read-at.ts';
import { tarEntries, type TarEntry } from '../tar/entries.ts';
import { parseDatatype } from './datatype.ts';
import { metadataProblem, numberIn, parseMetadata, putInPlace, textIn, type Fields } from './fields.ts';
import { segmentsOf, type Segment } from './segments.ts';

/** Where the samples that a metadata file describes lie. */
export interface SigmfData {
  /** Null where they are in the very file that was opened (an archive). */
  readonly dataFile: string | null;
  readonly atBytes: number;
  readonly lengthBytes: number;
}

/** A metadata file larger than this is none: it would hold more remarks than anybody reads. */
const MOST_METADATA_BYTES = 64 * 1024 * 1024;

/**
 * Recordings that a metadata file describes (Signal Metadata Format, SigMF specification 1.2): one for each run of capture segments
 * of one frequency without a gap. Integers are scaled to the converter's full scale; unsigned ones have their zero in the middle.
 *
 * @throws InputError with the field that is missing or wrong
 */
export function readSigmf(meta: Uint8Array, file: string, data: SigmfData, hints: ReadingHints): ReadCapture {
  const { metadata, warnings } = putInPlace(parseMetadata(meta, file));
  const { global } = metadata;
  const named = textIn(global, 'core:datatype');
  const datatype = named === null ? null : parseDatatype(named);
  if (datatype === null)
    throw metadataProblem(
      file,
      'global, core:datatype',
      named ?? 'nothing',
      'a format such as cf32_le, ri16_be or cu8',
    );
  if (datatype.orderMissing) warnings.push(`“${named!}” names no byte order; little-endian was taken.`);
  const sampleRateHz = hints.sampleRateHz ?? numberIn(global, 'core:sample_rate', 'global', file);
  if (sampleRateHz === null || !(sampleRateHz > 0))
    throw metadataProblem(
      file,
      'global, core:sample_rate',
      sampleRateHz === null ? 'nothing' : String(sampleRateHz),
      'samples a second above 0',
    );
  const whole = { whole: true, least: 1 };
  const channels = numberIn(global, 'core:num_channels', 'global', file, whole) ?? 1;
  if (channels > 1024) throw metadataProblem(file, 'global, core:num_channels', String(channels), 'at most 1024');
  if (typeof global['core:version'] !== 'string') warnings.push('The metadata do not say their version.');
  const needed = (Array.isArray(global['core:extensions']) ? (global['core:extensions'] as unknown[]) : []).filter(
    (extension) => (extension as Fields | null)?.['optional'] === false,
  );
  for (const extension of needed)
    warnings.push(
      `The file says that the extension “${String((extension as Fields)['name']).slice(0, 40)}” is needed to understand it; it is not known here.`,
    );

  const {
    segments,
    offset,
    warnings: aboutSegments,
  } = segmentsOf(
    metadata.captures,
    {
      atBytes: data.atBytes,
      lengthBytes: data.lengthBytes,
      frameBytes: SAMPLE_BYTES[datatype.type] * (datatype.complex ? 2 : 1) * channels,
      trailingBytes: numberIn(global, 'core:trailing_bytes', 'global', file, { whole: true, least: 0 }) ?? 0,
      offset: numberIn(global, 'core:offset', 'global', file, { whole: true, least: 0 }) ?? 0,
    },
    file,
  );
  warnings.push(...aboutSegments);
  const remarks = metadata.annotations.map((fields, i) => annotationOf(fields, i, offset, file));
  const channel = channelOf(datatype.type);
  // of thousands of segments and channels every pair would be an object of its own
  const all = Array.from({ length: channels }, (_, c) => ({
    ...channel,
    name: channels === 1 ? '' : `channel ${c + 1}`,
  }));
  const stated = statedIn(global);
  const recordings = segments.map((segment, s): Recording => ({
    label: segments.length === 1 ? '' : `segment ${s + 1}`,
    complex: datatype.complex,
    channels: all,
    samples: {
      kind: 'stored',
      dataFile: data.dataFile,
      type: datatype.type,
      bigEndian: datatype.bigEndian,
      stretches: segment.stretches,
    },
    sampleCount: segment.sampleCount,
    sampleRateHz,
    centreHz: hints.centreHz ?? segment.centreHz,
    unevenness: null,
    gainDb: segment.gainDb,
    attenuationDb: segment.attenuationDb,
    takenAt: segment.takenAt,
    annotations: within(remarks, segment),
    stated,
  }));
  if (datatype.complex && recordings.some(({ centreHz }) => centreHz === null))
    warnings.push('The metadata do not say which frequency was tuned to: frequencies count from that centre.');
  return {
    layout: `SigMF, ${named!}, ${recordings.length} record(s), ${channels} channel(s), ${sampleRateHz} samples a second`,
    traces: [],
    recordings,
    warnings,
  };
}

/** Reads an archive: a tar file that holds a metadata and a data file, perhaps several pairs. Throws InputError. */
export function readSigmfArchive(source: ByteSource, file: string, hints: ReadingHints): ReadCapture {
  const entries = tarEntries(source, file);
  const metas = entries.filter(({ name }) => /\.sigmf-meta$/i.test(name));
  if (metas.length === 0)
    throw new InputError({
      file,
      place: 'the whole archive',
      found: `${entries.length} file(s), none of them ending in .sigmf-meta`,
      expected: 'a recording with its metadata',
      wayOut: 'Unpack the archive and open the files in it.',
    });
  const read = metas.map((meta) => {
    const stem = meta.name.replace(/\.sigmf-meta$/i, '');
    const data = entries.find(({ name }) => name.toLowerCase() === `${stem}.sigmf-data`.toLowerCase());
    if (data === undefined) throw noData(`${file} › ${meta.name}`, `${stem}.sigmf-data`);
    const place = { dataFile: null, atBytes: data.at, lengthBytes: data.size };
    return readSigmf(contentOf(source, file, meta), `${file} › ${meta.name}`, place, hints);
  });
  return {
    layout: `archive of ${read.length} recording(s): ${read[0]!.layout}`,
    traces: [],
    recordings: read.flatMap(({ recordings }) => recordings ?? []),
    warnings: [...new Set(read.flatMap(({ warnings }) => warnings))],
  };
}

/** The name of the file of samples that metadata describe: the one they name, else the metadata's own with another ending. */
export function dataFileName(meta: Uint8Array, file: string): string {
  const { global } = parseMetadata(meta, file);
  if (global['core:metadata_only'] === true && textIn(global, 'core:dataset') === null)
    throw metadataProblem(file, 'global, core:metadata_only', 'true: metadata without samples', 'a recording');
  return textIn(global, 'core:dataset') ?? `${file.replace(/\.[^./\\]*$/, '').replace(/^.*[/\\]/, '')}.sigmf-data`;
}

/** For a metadata file whose data are not beside it. */
export function noData(file: string, expected: string): InputError {
  return new InputError({
    file,
    place: 'beside the file',
    found: 'no file of samples',
    expected: `“${expected}”`,
    wayOut: 'Put the data file beside the metadata under the same name, or open both together.',
  });
}

function contentOf(source: ByteSource, file: string, { at, size, name }: TarEntry): Uint8Array {
  if (size > MOST_METADATA_BYTES)
    throw metadataProblem(file, name, `${size} bytes of metadata`, `at most ${MOST_METADATA_BYTES}`);
  const view = viewAt(source, file, at, size, 'metadata');
  return new Uint8Array(view.buffer, view.byteOffset, view.byteLength).slice();
}

function channelOf(type: keyof typeof SAMPLE_BYTES): Omit<RecordingChannel, 'name'> {
  if (type.startsWith('f')) return { unit: 'FS', scale: 1, offset: 0, fullScale: null };
  const bits = Number(type.slice(1));
  const scale = 2 ** (1 - bits);
  return { unit: 'FS', scale, offset: type.startsWith('u') ? -1 : 0, fullScale: 1 - scale };
}

function annotationOf(fields: Fields, i: number, offset: number, file: string): RecordingAnnotation {
  const where = `annotations[${i}]`;
  const count = numberIn(fields, 'core:sample_count', where, file, { whole: true, least: 0 });
  return {
    startSample: (numberIn(fields, 'core:sample_start', where, file, { whole: true, least: 0 }) ?? offset) - offset,
    sampleCount: count,
    lowHz: numberIn(fields, 'core:freq_lower_edge', where, file),
    highHz: numberIn(fields, 'core:freq_upper_edge', where, file),
    label: textIn(fields, 'core:label') ?? textIn(fields, 'core:description') ?? '',
    comment: textIn(fields, 'core:comment') ?? '',
  };
}

/** Remarks that touch a segment, cut to it, with their samples counted from its first. */
function within(remarks: readonly RecordingAnnotation[], { firstSample, sampleCount }: Segment): RecordingAnnotation[] {
  return remarks.flatMap((remark) => {
    const from = Math.max(remark.startSample - firstSample, 0);
    const to = remark.sampleCount === null ? sampleCount : remark.startSample + remark.sampleCount - firstSample;
    if (from >= sampleCount || to < from) return [];
    const end = Math.min(to, sampleCount);
    return [{ ...remark, startSample: from, sampleCount: remark.sampleCount === null ? null : end - from }];
  });
}

const SHOWN: readonly string[] = ['core:description', 'core:hw', 'core:recorder', 'core:license', 'core:version'];

function statedIn(global: Fields): { name: string; value: string }[] {
  return SHOWN.flatMap((name) => {
    const value = textIn(global, name);
    return value === null ? [] : [{ name: name.slice('core:'.length), value }];
  });
}
