import type { ByteSource } from '../../model/byte-source.ts';
import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { Recording, RecordingChannel, SampleStretch } from '../../model/recording.ts';
import { characters, viewAt } from '../binary/read-at.ts';
import { readChunks, type Chunk } from './chunks.ts';
import { looksLikeIq } from './iq-or-stereo.ts';
import { readFormat, type WavFormat } from './sample-format.ts';

/**
 * Reads a WAV recording: RIFF, RIFX, and RF64 or BW64 beyond 4 GiB; any number of chunks of data, one after another in time.
 *
 * Only heads are read here; the samples stay in the file. Two channels are in-phase and quadrature where the user or the file's name
 * says so (`iq` as a word of it), or where they look so; else they are two channels. Integers are scaled to the converter's full scale.
 *
 * @throws InputError with the byte where something is wrong
 */
export function readWav(source: ByteSource, file: string, hints: ReadingHints): ReadCapture {
  const { bigEndian, chunks, warnings: aboutChunks } = readChunks(source, file);
  const formatChunk = chunks.find(({ id }) => id === 'fmt ');
  if (formatChunk === undefined) throw missing(file, source, 'no format chunk (“fmt ”)');
  const format = readFormat(source, file, formatChunk, bigEndian);
  const warnings = [...aboutChunks];
  const data = chunks.filter(({ id }) => id === 'data');
  if (data.length === 0) throw missing(file, source, 'no chunk of data');
  const stretches = stretchesOf(data, format, warnings);
  const frames = stretches.reduce((n, { sampleCount }) => n + sampleCount, 0);
  if (frames === 0) throw missing(file, source, 'no whole frame of samples');

  const information = readInformation(source, file, chunks, bigEndian);
  const real: Recording = {
    label: information.get('INAM') ?? '',
    complex: false,
    channels: Array.from({ length: format.channels }, (_, c) => channelOf(format, `channel ${c + 1}`)),
    samples: { kind: 'stored', dataFile: null, type: format.type, bigEndian, stretches },
    sampleCount: frames,
    sampleRateHz: format.sampleRateHz,
    centreHz: hints.centreHz ?? null,
    unevenness: null,
    takenAt: information.get('ICRD') ?? null,
    annotations: [],
    stated: [...information].map(([name, value]) => ({ name, value })),
  };
  const recording = asIq(real, source, file, hints, warnings);
  return {
    layout: `WAV, ${format.type.startsWith('f') ? 'float' : 'PCM'} ${format.validBits} bit, ${recording.complex ? 'I/Q' : `${format.channels} channel(s)`}, ${format.sampleRateHz} samples a second${data.length > 1 ? `, ${data.length} chunks of data` : ''}`,
    traces: [],
    recordings: [recording],
    warnings,
  };
}

/** Whole frames of each chunk of data. A chunk that was never closed, or that the file's end cuts off, is taken as far as it goes. */
function stretchesOf(data: readonly Chunk[], { frameBytes }: WavFormat, warnings: string[]): SampleStretch[] {
  const stretches: SampleStretch[] = [];
  let oddBytes = 0;
  for (const { at, size, statedSize } of data) {
    if (statedSize === null)
      warnings.push('The size of the data was never written (a recording not closed): all there is was taken.');
    else if (statedSize > size)
      warnings.push(`The data should have ${statedSize} bytes, the file has ${size} of them: it is cut off.`);
    const sampleCount = Math.floor(size / frameBytes);
    oddBytes += size - sampleCount * frameBytes;
    if (sampleCount > 0) stretches.push({ offsetBytes: at, sampleCount });
  }
  if (oddBytes > 0) warnings.push(`${oddBytes} byte(s) of the data are no whole frame and were left out.`);
  return stretches;
}

function channelOf({ type, validBits }: WavFormat, name: string): RecordingChannel {
  if (type.startsWith('f')) return { name, unit: 'FS', scale: 1, offset: 0, fullScale: null };
  const scale = type === 'u8' ? 1 / 128 : 2 ** (1 - Number(type.slice(1)));
  // fewer bits than their container are left-justified in it: full scale stays, the step grows
  const fullScale = 1 - 2 ** (1 - validBits);
  return { name, unit: 'FS', scale, offset: type === 'u8' ? -1 : 0, fullScale };
}

function asIq(real: Recording, source: ByteSource, file: string, hints: ReadingHints, warnings: string[]): Recording {
  if (real.channels.length !== 2 || hints.twoChannelsAre === 'channels') return real;
  const said = hints.twoChannelsAre === 'iq' || /(?:^|[^a-z])iq(?:[^a-z]|$)/i.test(file);
  const taken = said || looksLikeIq(real, source);
  if (!said)
    warnings.push(
      taken
        ? 'The two channels have equal power and no correlation: they are taken as in-phase and quadrature (I/Q). The file does not say.'
        : 'The two channels are taken as two real signals, not as I/Q. The file does not say.',
    );
  if (!taken) return real;
  if (real.centreHz === null)
    warnings.push('The file does not say which frequency it was tuned to: frequencies count from that centre.');
  return { ...real, complex: true, channels: [{ ...real.channels[0]!, name: 'I/Q' }] };
}

const MOST_INFORMATION_BYTES = 4096;

/** What a LIST chunk of the kind INFO says: title, date, comment and the like, by their four letters. */
function readInformation(
  source: ByteSource,
  file: string,
  chunks: readonly Chunk[],
  bigEndian: boolean,
): Map<string, string> {
  const information = new Map<string, string>();
  for (const { id, at, size } of chunks) {
    if (id !== 'LIST' || size < 12) continue;
    const view = viewAt(source, file, at, Math.min(size, MOST_INFORMATION_BYTES), 'a list chunk');
    if (characters(view, 0, 4) !== 'INFO') continue;
    for (let i = 4; i + 8 <= view.byteLength;) {
      const name = characters(view, i, i + 4);
      const length = view.getUint32(i + 4, !bigEndian);
      const end = Math.min(view.byteLength, i + 8 + length);
      const text = characters(view, i + 8, end)
        .replace(/[^ -~\u00a0-\u00ff]+/g, ' ')
        .trim();
      if (/^[A-Z]{4}$/.test(name) && text !== '') information.set(name, text.slice(0, 200));
      i += 8 + length + (length % 2);
    }
  }
  return information;
}

function missing(file: string, source: ByteSource, found: string): InputError {
  return new InputError({
    file,
    place: `the ${source.length} bytes of the file`,
    found,
    expected: 'a WAV file with a format chunk and a chunk of data',
    wayOut: 'The recording was perhaps broken off before anything was written: record it again.',
  });
}
