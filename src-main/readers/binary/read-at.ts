import type { ByteSource } from '../../model/byte-source.ts';
import { bytesInMemory } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';

/** The bytes of a file as a source, whether they are in memory or not. */
export function sourceOf(input: Uint8Array | ByteSource): ByteSource {
  return input instanceof Uint8Array ? bytesInMemory(input) : input;
}

/**
 * `count` bytes at `at` for looking at now (the next read may overwrite them).
 *
 * @param what names them in the message, e.g. `the format chunk`
 * @throws InputError where the file ends before
 */
export function viewAt(source: ByteSource, file: string, at: number, count: number, what: string): DataView {
  if (at + count > source.length || at < 0 || !Number.isSafeInteger(at + count))
    throw cutOff(source, file, at, count, what);
  const bytes = source.read(at, at + count);
  if (bytes.length < count) throw cutOff(source, file, at, count, what);
  return new DataView(bytes.buffer, bytes.byteOffset, count);
}

function cutOff(source: ByteSource, file: string, at: number, count: number, what: string): InputError {
  return new InputError({
    file,
    place: `byte ${at}`,
    found: `the end of the file after ${source.length} bytes`,
    expected: `${count} bytes of ${what}`,
    wayOut: 'The file is cut off or damaged: copy or record it again.',
  });
}

/** Bytes as characters, one to one. */
export function characters(view: DataView, from = 0, to = view.byteLength): string {
  let text = '';
  for (let i = from; i < to; i++) text += String.fromCharCode(view.getUint8(i));
  return text;
}
