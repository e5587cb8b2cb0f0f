import { SAMPLE_BYTES, type Recording, type RecordingAnnotation } from '../../model/recording.ts';
import { datatypeName } from './datatype.ts';
import { parseMetadata } from './fields.ts';
import { encodeText } from '../delimited/text.ts';

/** Who made an annotation, so that the next run can replace its own and nobody else's. */
const GENERATOR = 'spurledger';

/**
 * A metadata file with annotations added, everything else as it was; annotations that this program wrote before are replaced.
 *
 * @param annotations sample numbers count from the record's first sample; frequencies are as in the record
 * @param firstSample the number the metadata give to that first sample
 * @returns JSON text, to be written as UTF-8
 * @throws InputError where the text is no metadata file
 */
export function annotatedSigmf(
  metadata: string,
  file: string,
  annotations: readonly RecordingAnnotation[],
  firstSample = 0,
): string {
  parseMetadata(encodeText(metadata), file);
  const whole = JSON.parse(metadata) as Record<string, unknown>;
  const others = ((whole['annotations'] ?? []) as Record<string, unknown>[]).filter(
    (annotation) => annotation['core:generator'] !== GENERATOR,
  );
  const all = [...others, ...annotations.map((annotation) => written(annotation, firstSample))];
  // the specification wants them in the order of their samples
  all.sort((a, b) => Number(a['core:sample_start'] ?? 0) - Number(b['core:sample_start'] ?? 0));
  return `${JSON.stringify({ ...whole, annotations: all }, null, 4)}\n`;
}

/**
 * A new metadata file for a record whose samples another file holds: one capture segment a stretch, each with the bytes that stand before
 * it as its header (a non-conforming dataset in the words of SigMF specification 1.2, whose `core:header_bytes` are meant for this).
 *
 * @param dataset the file that holds the samples: its name (null: that of the metadata, ending in .sigmf-data) and its length, so that what
 *   follows them is told
 * @throws Error where the samples are not stored, or in a type that the format does not know: write the samples anew then
 */
export function sigmfMetadata(
  recording: Recording,
  annotations: readonly RecordingAnnotation[],
  dataset: { readonly file: string | null; readonly bytes: number | null } = { file: null, bytes: null },
): string {
  const { samples } = recording;
  if (samples.kind !== 'stored' || samples.type === 'i24')
    throw new Error('These samples are not stored as numbers that the format knows.');
  const frameBytes = SAMPLE_BYTES[samples.type] * (recording.complex ? 2 : 1) * recording.channels.length;
  const captures: Record<string, unknown>[] = [];
  let [sample, end] = [0, 0];
  for (const { offsetBytes, sampleCount } of samples.stretches) {
    captures.push({
      'core:sample_start': sample,
      ...(offsetBytes > end ? { 'core:header_bytes': offsetBytes - end } : {}),
      ...(recording.centreHz === null ? {} : { 'core:frequency': recording.centreHz }),
    });
    sample += sampleCount;
    end = offsetBytes + sampleCount * frameBytes;
  }
  const trailing = (dataset.bytes ?? end) - end;
  return `${JSON.stringify(
    {
      global: {
        'core:datatype': datatypeName({
          complex: recording.complex,
          type: samples.type,
          bigEndian: samples.bigEndian,
        }),
        'core:sample_rate': recording.sampleRateHz,
        'core:num_channels': recording.channels.length,
        'core:version': '1.2.0',
        ...(dataset.file === null ? {} : { 'core:dataset': dataset.file }),
        ...(trailing > 0 ? { 'core:trailing_bytes': trailing } : {}),
      },
      captures,
      annotations: annotations.map((annotation) => written(annotation, 0)),
    },
    null,
    4,
  )}\n`;
}

function written(annotation: RecordingAnnotation, firstSample: number): Record<string, unknown> {
  const fields: Record<string, unknown> = { 'core:sample_start': annotation.startSample + firstSample };
  if (annotation.sampleCount !== null) fields['core:sample_count'] = annotation.sampleCount;
  // the two edges may only stand together
  if (annotation.lowHz !== null && annotation.highHz !== null) {
    fields['core:freq_lower_edge'] = annotation.lowHz;
    fields['core:freq_upper_edge'] = annotation.highHz;
  }
  fields['core:generator'] = GENERATOR;
  if (annotation.label !== '') fields['core:label'] = annotation.label.slice(0, 20);
  if (annotation.comment !== '') fields['core:comment'] = annotation.comment;
  return fields;
}
