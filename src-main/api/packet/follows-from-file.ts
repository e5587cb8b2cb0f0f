import type { PacketCapture } from '../../model/packet.ts';
import { openCapture } from '../steps/open-capture.ts';
import type { PacketSource } from './packet-source.ts';

/**
 * True where the original file is the one stated and, read by itself, gives the kept traces to the last bit: then the traces cannot
 * have been altered without the file.
 */
export function followsFromFile(source: PacketSource, capture: PacketCapture): boolean {
  try {
    const read = openCapture(source.original(capture.id), capture.file);
    return (
      read.sha256 === capture.sha256 &&
      read.traces.length === capture.traces.length &&
      read.traces.every((trace, index) => {
        const kept = source.trace(capture.id, index);
        return (
          trace.unit.name === kept.unit.name &&
          sameBits(trace.frequencyHz, kept.frequencyHz) &&
          sameBits(trace.level, kept.level)
        );
      })
    );
  } catch {
    // a file that this reader refuses proves nothing about its traces
    return false;
  }
}

/** All NaN are one: a text has only one way to say that there is no value. */
function sameBits(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => Object.is(value, b[i]));
}
