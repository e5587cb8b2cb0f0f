import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { layoutKey } from '../../readers/layout-key.ts';
import { previewOf } from '../../readers/preview.ts';
import { readCapture, type Companions } from '../../readers/read-capture.ts';
import type { ReadingPreview } from '../contract/reading-calls.ts';

/** What a file begins with, how the reader parts it, and what comes of it; what is wrong with it is in `problem`. */
export function readingPreview(
  bytes: Uint8Array,
  file: string,
  companions: Companions,
  hints: ReadingHints,
): ReadingPreview {
  const begin = { file, layoutKey: layoutKey(bytes, file), ...previewOf(bytes, file, hints) };
  try {
    const read = readCapture(bytes, file, companions, hints);
    return {
      ...begin,
      layout: read.layout,
      traces: read.traces.map(({ label, frequencyHz, level, unit }) => ({
        label,
        points: level.length,
        startHz: frequencyHz[0]!,
        stopHz: frequencyHz.at(-1)!,
        unit: unit.name,
        ...extremes(level),
      })),
      recordings: (read.recordings ?? []).map(({ label, sampleCount, sampleRateHz, channels }) => ({
        label,
        samples: sampleCount,
        sampleRateHz,
        channels: channels.map(({ name, unit }) => (name === '' ? unit : `${name} (${unit})`)),
      })),
      warnings: read.warnings,
      problem: null,
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { ...begin, layout: null, traces: [], recordings: [], warnings: [], problem: error.problem };
  }
}

function extremes(level: Float64Array): { lowest: number | null; highest: number | null } {
  let lowest = Infinity;
  let highest = -Infinity;
  for (const value of level) {
    if (value < lowest) lowest = value;
    if (value > highest) highest = value;
  }
  return highest < lowest ? { lowest: null, highest: null } : { lowest, highest };
}
