import type { SampleStretch } from '../../model/recording.ts';
import { metadataProblem, numberIn, textIn, type Fields } from './fields.ts';

/** Samples that belong together: one tuned frequency, no gap in time. Sample numbers count from the dataset's first. */
export interface Segment {
  readonly firstSample: number;
  readonly sampleCount: number;
  readonly centreHz: number | null;
  readonly takenAt: string | null;
  /** Of the capture details extension, version 1.0.0: one figure for the receiver's whole gain, and its attenuation. */
  readonly gainDb: number | null;
  readonly attenuationDb: number | null;
  readonly stretches: readonly SampleStretch[];
}

/** What is stated of the dataset as a whole. */
export interface Dataset {
  /** Where its bytes begin in the file that holds them. */
  readonly atBytes: number;
  readonly lengthBytes: number;
  readonly frameBytes: number;
  readonly trailingBytes: number;
  /** The number that the metadata give to the first sample. */
  readonly offset: number;
}

/**
 * The capture segments of a dataset, each from its `core:sample_start` to the next, behind its `core:header_bytes`.
 *
 * A segment begins a new record where the tuned frequency or the gain changes, or where a header, a time or a global index stands in between:
 * then nobody promises that the samples go on without a gap.
 *
 * @returns also the number that the first sample has, 0 where what is stated of it cannot be
 * @throws InputError where segments overlap the end of the data or contradict each other
 */
export function segmentsOf(
  captures: readonly Fields[],
  dataset: Dataset,
  file: string,
): { segments: Segment[]; offset: number; warnings: string[] } {
  const warnings: string[] = [];
  const stated = captures.map((fields, i) => ({
    start: numberIn(fields, 'core:sample_start', `captures[${i}]`, file, { whole: true, least: 0 }) ?? 0,
    headerBytes: numberIn(fields, 'core:header_bytes', `captures[${i}]`, file, { whole: true, least: 0 }) ?? 0,
    centreHz: numberIn(fields, 'core:frequency', `captures[${i}]`, file),
    takenAt: textIn(fields, 'core:datetime'),
    gainDb: numberIn(fields, 'capture_details:gain', `captures[${i}]`, file),
    attenuationDb: numberIn(fields, 'capture_details:attenuation', `captures[${i}]`, file),
    saysWhen: 'core:datetime' in fields || 'core:global_index' in fields,
  }));
  if (stated.some(({ start }, i) => i > 0 && start < stated[i - 1]!.start)) {
    warnings.push('The capture segments are not in the order of their samples; they were sorted.');
    stated.sort((a, b) => a.start - b.start);
  }
  let { offset } = dataset;
  if (stated.some(({ start }) => start < offset)) {
    warnings.push(
      `The dataset is said to begin at sample ${offset}, but a segment begins before: sample numbers are taken to count from the file's first.`,
    );
    offset = 0;
  }
  if (stated.length === 0 || stated[0]!.start > offset) stated.unshift({ ...SILENT, start: offset });

  const headers = stated.reduce((n, { headerBytes }) => n + headerBytes, 0);
  const sampleBytes = dataset.lengthBytes - dataset.trailingBytes - headers;
  const total = Math.floor(sampleBytes / dataset.frameBytes);
  if (total < 1)
    throw metadataProblem(
      file,
      'the data',
      `${dataset.lengthBytes} bytes${headers + dataset.trailingBytes > 0 ? `, ${headers + dataset.trailingBytes} of them no samples` : ''}`,
      `at least one sample of ${dataset.frameBytes} bytes`,
    );
  const odd = sampleBytes - total * dataset.frameBytes;
  if (odd > 0) warnings.push(`${odd} byte(s) at the end of the data are no whole sample and were left out.`);

  const segments: Segment[] = [];
  let skipped = 0;
  for (const [i, { start, headerBytes, saysWhen, ...said }] of stated.entries()) {
    skipped += headerBytes;
    const first = start - offset;
    const end = Math.min(total, i + 1 < stated.length ? stated[i + 1]!.start - offset : total);
    if (first >= total) {
      warnings.push(`Capture segment ${i + 1} begins at sample ${start}, behind the end of the data; it was left out.`);
      continue;
    }
    if (end <= first) continue;
    const stretch = {
      offsetBytes: dataset.atBytes + first * dataset.frameBytes + skipped,
      sampleCount: end - first,
    };
    const before = segments.at(-1);
    const isSame =
      before?.centreHz === said.centreHz &&
      before.gainDb === said.gainDb &&
      before.attenuationDb === said.attenuationDb;
    if (before !== undefined && !saysWhen && headerBytes === 0 && isSame)
      segments[segments.length - 1] = {
        ...before,
        sampleCount: before.sampleCount + stretch.sampleCount,
        stretches: [...before.stretches, stretch],
      };
    else segments.push({ ...said, firstSample: first, sampleCount: end - first, stretches: [stretch] });
  }
  return { segments, offset, warnings };
}

const SILENT = {
  start: 0,
  headerBytes: 0,
  centreHz: null,
  takenAt: null,
  gainDb: null,
  attenuationDb: null,
  saysWhen: false,
};
