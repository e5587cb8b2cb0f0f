import { InputError } from '../../model/input-problem.ts';

/** A file's bytes as single-byte-delimited text: UTF-8 or Latin-1, without byte-order mark and NUL bytes. */
export interface TextBytes {
  readonly bytes: Uint8Array;
  readonly encoding: 'UTF-8' | 'UTF-16' | 'Latin-1';
  readonly nulBytes: number;
}

const NUL = 0;

/**
 * Makes text of a file's bytes, or says that it is none.
 *
 * UTF-16 is recognised by its byte-order mark (or, without, by NULs in every second place) and turned into UTF-8. NULs are taken out.
 * @throws InputError for an empty file or one that is not text
 */
export function textBytes(input: Uint8Array, file: string): TextBytes {
  if (input.length === 0)
    throw new InputError({
      file,
      place: 'the whole file',
      found: 'no bytes',
      expected: 'rows of frequency and level',
      wayOut: 'Save the trace again; the file is empty.',
    });
  if (input[0] === 0xff && input[1] === 0xfe)
    return { bytes: fromUtf16(input, 2, true), encoding: 'UTF-16', nulBytes: 0 };
  if (input[0] === 0xfe && input[1] === 0xff)
    return { bytes: fromUtf16(input, 2, false), encoding: 'UTF-16', nulBytes: 0 };
  const start = input[0] === 0xef && input[1] === 0xbb && input[2] === 0xbf ? 3 : 0;

  const probe = input.subarray(start, start + 4096);
  let oddNul = 0;
  let evenNul = 0;
  for (let i = 0; i < probe.length; i++)
    if (probe[i] === NUL) {
      if (i % 2 === 1) oddNul++;
      else evenNul++;
    }
  if (probe.length >= 8 && oddNul > 0.45 * probe.length && evenNul < 0.02 * probe.length)
    return { bytes: fromUtf16(input, 0, true), encoding: 'UTF-16', nulBytes: 0 };
  if (probe.length >= 8 && evenNul > 0.45 * probe.length && oddNul < 0.02 * probe.length)
    return { bytes: fromUtf16(input, 0, false), encoding: 'UTF-16', nulBytes: 0 };

  refuseBinary(input.subarray(start), file);
  let nulBytes = 0;
  let bytes = input.subarray(start);
  if (bytes.indexOf(NUL) >= 0) {
    for (const b of bytes) if (b === NUL) nulBytes++;
    bytes = new Uint8Array(input.length - start - nulBytes);
    for (let i = start, j = 0; i < input.length; i++) if (input[i] !== NUL) bytes[j++] = input[i]!;
  }
  return { bytes, encoding: isUtf8(bytes) ? 'UTF-8' : 'Latin-1', nulBytes };
}

/** Control bytes other than tab, line ends, form feed and NUL have no place in a table of numbers. */
function refuseBinary(bytes: Uint8Array, file: string): void {
  const probe = bytes.subarray(0, 65_536);
  let controls = 0;
  let nuls = 0;
  let first = -1;
  for (let i = 0; i < probe.length; i++) {
    const b = probe[i]!;
    if (b === NUL) nuls++;
    else if (b < 32 && b !== 9 && b !== 10 && b !== 13 && b !== 12 && b !== 26) {
      controls++;
      if (first < 0) first = i;
    }
  }
  if (controls > 0.005 * probe.length || nuls > 0.4 * probe.length)
    throw new InputError({
      file,
      place: `byte ${Math.max(0, first)}`,
      found: 'bytes that are not text',
      expected: 'a text table of frequency and level',
      wayOut: 'Export the trace as text (CSV), or in one of the open formats that are read.',
    });
}

function isUtf8(bytes: Uint8Array): boolean {
  const end = Math.min(bytes.length, 1 << 20);
  for (let i = 0; i < end; i++) {
    const b = bytes[i]!;
    if (b < 0x80) continue;
    const more = b >= 0xf0 && b < 0xf5 ? 3 : b >= 0xe0 ? 2 : b >= 0xc2 && b < 0xe0 ? 1 : -1;
    if (more < 0) return false;
    for (let k = 1; k <= more && i + k < end; k++) if ((bytes[i + k]! & 0xc0) !== 0x80) return false;
    i += more;
  }
  return true;
}

function fromUtf16(input: Uint8Array, start: number, little: boolean): Uint8Array {
  const out = new Uint8Array(((input.length - start) >> 1) * 3);
  let j = 0;
  for (let i = start; i + 1 < input.length; i += 2) {
    const unit = little ? input[i]! | (input[i + 1]! << 8) : (input[i]! << 8) | input[i + 1]!;
    if (unit === 0) continue;
    if (unit < 0x80) out[j++] = unit;
    else if (unit < 0x800) {
      out[j++] = 0xc0 | (unit >> 6);
      out[j++] = 0x80 | (unit & 63);
    } else {
      out[j++] = 0xe0 | (unit >> 12);
      out[j++] = 0x80 | ((unit >> 6) & 63);
      out[j++] = 0x80 | (unit & 63);
    }
  }
  return out.subarray(0, j);
}

/** Decodes a stretch as a string; `latin1` maps bytes one to one. Bad UTF-8 becomes U+FFFD. */
export function decode(bytes: Uint8Array, from: number, to: number, encoding: TextBytes['encoding']): string {
  let text = '';
  for (let i = from; i < to; i++) {
    const b = bytes[i]!;
    if (b < 0x80 || encoding === 'Latin-1') text += String.fromCharCode(b);
    else if (b >= 0xc2 && b < 0xe0 && i + 1 < to) text += String.fromCharCode(((b & 31) << 6) | (bytes[++i]! & 63));
    else if (b >= 0xe0 && b < 0xf0 && i + 2 < to) {
      text += String.fromCharCode(((b & 15) << 12) | ((bytes[i + 1]! & 63) << 6) | (bytes[i + 2]! & 63));
      i += 2;
    } else text += '\ufffd'; // also four-byte characters: no setting is written in them
  }
  return text;
}

/** The byte that ends a line: LF where the text has any, else CR. CRs before an LF belong to the line end. */
export function lineEndOf(bytes: Uint8Array): number {
  return bytes.indexOf(10) >= 0 ? 10 : 13;
}

/** Where the text of a line ends whose line end (or the end of the file) is at `stop`: CRs, form feeds and ^Z are cut off. */
export function endOfText(bytes: Uint8Array, start: number, stop: number): number {
  let end = stop;
  while (end > start && (bytes[end - 1] === 13 || bytes[end - 1] === 26 || bytes[end - 1] === 12)) end--;
  return end;
}

/** UTF-8 bytes of a text (the pure folders have no TextEncoder); characters outside the basic plane become question marks. */
export function encodeText(text: string): Uint8Array {
  const out = new Uint8Array(text.length * 3);
  let j = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code < 0x80) out[j++] = code;
    else if (code < 0x800) {
      out[j++] = 0xc0 | (code >> 6);
      out[j++] = 0x80 | (code & 63);
    } else if (code >= 0xd800 && code < 0xe000) out[j++] = 63;
    else {
      out[j++] = 0xe0 | (code >> 12);
      out[j++] = 0x80 | ((code >> 6) & 63);
      out[j++] = 0x80 | (code & 63);
    }
  }
  return out.subarray(0, j);
}

/** Every line as a string, for texts that are to be written anew. */
export function allLines(text: TextBytes): string[] {
  const { bytes } = text;
  const stop = lineEndOf(bytes);
  const lines: string[] = [];
  for (let start = 0; start < bytes.length;) {
    const at = bytes.indexOf(stop, start);
    const next = at < 0 ? bytes.length : at;
    lines.push(decode(bytes, start, endOfText(bytes, start, next), text.encoding));
    start = next + 1;
  }
  return lines;
}
