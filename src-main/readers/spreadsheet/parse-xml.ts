import { SaxesParser } from 'saxes';
import { InputError } from '../../model/input-problem.ts';
import { decode } from '../delimited/text.ts';

export interface XmlEvents {
  open?(name: string, attributes: Readonly<Record<string, string>>): void;
  text?(text: string): void;
  close?(name: string): void;
}

/** A sheet nests a dozen elements; the parser keeps every open one. */
const DEEPEST = 256;
/** Characters given to the parser at a time. */
const PIECE = 1 << 16;

/**
 * Walks through an XML text. Names come without their prefix, attributes as written.
 *
 * No document type is read, so there are no entities that could expand.
 * @throws InputError for text that is not well formed
 */
export function parseXml(bytes: Uint8Array, file: string, part: string, events: XmlEvents): void {
  const parser = new SaxesParser();
  let failure: Error | null = null;
  parser.on('error', (error) => (failure ??= error));
  parser.on('doctype', () => (failure ??= new Error('a document type')));
  let depth = 0;
  parser.on('opentag', ({ name, attributes }) => {
    if (++depth > DEEPEST) failure ??= new Error(`elements nested more than ${DEEPEST} deep`);
    events.open?.(local(name), attributes);
  });
  parser.on('text', (text) => events.text?.(text));
  parser.on('closetag', ({ name }) => {
    depth--;
    events.close?.(local(name));
  });
  for (let at = 0; at < bytes.length && failure === null;) {
    // a piece ends between two characters
    let end = Math.min(bytes.length, at + PIECE);
    while (end < bytes.length && end > at + 1 && (bytes[end]! & 0xc0) === 0x80) end--;
    parser.write(withoutMark(decodeAll(bytes, at, end)));
    at = end;
  }
  if (failure === null) parser.close();
  if (failure === null) return;
  throw new InputError({
    file,
    place: `“${part}” in the archive`,
    found: (failure as Error).message.slice(0, 120),
    expected: 'well-formed XML',
    wayOut: 'Save the spreadsheet again, or export the table as CSV.',
  });
}

function local(name: string): string {
  return name.slice(name.indexOf(':') + 1);
}

function withoutMark(text: string): string {
  return text.startsWith('\ufeff') ? text.slice(1) : text;
}

/** Characters beyond the basic plane are no part of numbers or names: they come as a mark. */
function decodeAll(bytes: Uint8Array, from: number, to: number): string {
  return decode(bytes, from, to, 'UTF-8');
}
