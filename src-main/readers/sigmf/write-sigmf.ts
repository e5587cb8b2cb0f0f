import type { Recording, RecordingAnnotation } from '../../model/recording.ts';
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
 * A new metadata file for a record whose samples another file holds without gaps, from that file's first byte.
 *
 * @throws Error where the samples are not stored, or not from the first byte on: write the samples anew then
 */
export function sigmfMetadata(recording: Recording, annotations: readonly RecordingAnnotation[]): string {
  const { samples } = recording;
  if (samples.kind !== 'stored' || samples.stretches.length !== 1 || samples.type === 'i24')
    throw new Error('These samples are not stored as a plain run of numbers that the format knows.');
  const capture: Record<string, unknown> = { 'core:sample_start': 0 };
  if (samples.stretches[0]!.offsetBytes > 0) capture['core:header_bytes'] = samples.stretches[0]!.offsetBytes;
  if (recording.centreHz !== null) capture['core:frequency'] = recording.centreHz;
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
      },
      captures: [capture],
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
