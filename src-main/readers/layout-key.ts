import type { ByteSource } from '../model/byte-source.ts';
import { NO_HINTS } from '../model/reading-hints.ts';
import { sourceOf } from './binary/read-at.ts';
import { previewOf } from './preview.ts';

/**
 * A name for the layout of a file: files that the same program wrote in the same way have the same, whatever they hold. Corrections
 * are remembered under it.
 *
 * For text it is made of separator, decimal mark, number of columns, and the words of the first lines up to the numbers in them (a
 * date, an RBW or a number of points differ from capture to capture); for other formats of the format's name alone.
 */
export function layoutKey(input: Uint8Array | ByteSource, file: string): string {
  const source = sourceOf(input);
  const { format, lines, separator, decimalMark, firstRow, columns } = previewOf(source, file, NO_HINTS);
  const ending = /\.[^./\\ ]{1,12}$/.exec(file)?.[0].toLowerCase() ?? '';
  if (lines.length === 0) return `${format}${ending}`;
  const above = lines.slice(0, firstRow === null ? 12 : Math.max(0, firstRow - 1)).map(({ text }) => wordsOf(text));
  const parts = [
    format,
    ending,
    separator ?? '',
    decimalMark ?? '',
    String(columns.length),
    ...above.filter((words) => words !== ''),
  ];
  return `${format}${ending} ${columns.length} ${hash(parts.join('\n'))}`;
}

/** A line without its numbers and what follows them: `RBW,30 kHz` is `RBW`. */
function wordsOf(line: string): string {
  return line
    .replace(/[-+]?\d.*$/, '')
    .replace(/[\s",;:=\t]+/g, ' ')
    .trim();
}

/** FNV-1a of 32 bits, twice with different beginnings (Fowler, Noll, Vo; draft-eastlake-fnv): a name, no protection. */
function hash(text: string): string {
  let a = 0x811c9dc5;
  let b = 0x1234567;
  for (let i = 0; i < text.length; i++) {
    a = Math.imul(a ^ text.charCodeAt(i), 0x01000193);
    b = Math.imul(b ^ text.charCodeAt(i), 0x01000193);
  }
  return (a >>> 0).toString(16).padStart(8, '0') + (b >>> 0).toString(16).padStart(8, '0');
}
