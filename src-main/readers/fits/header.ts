import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import { characters, viewAt } from '../binary/read-at.ts';

/** Everything in a FITS file comes in blocks of this many bytes (FITS Standard 4.0, section 3.1). */
export const BLOCK_BYTES = 2880;
const CARD_BYTES = 80;
const MOST_UNITS = 1000;

export type Card = string | number | boolean | null;

/** One header and data unit: its keywords, and where its data lie. */
export interface HeaderDataUnit {
  /** `image`, `table` (text), `bintable`, or what else the extension calls itself. */
  readonly kind: string;
  readonly name: string;
  readonly cards: ReadonlyMap<string, Card>;
  readonly shape: readonly number[];
  readonly dataAt: number;
  readonly dataBytes: number;
}

/** True for bytes that begin as the standard requires: the keyword SIMPLE with a logical value. */
export function isFits(head: Uint8Array): boolean {
  let text = '';
  for (let i = 0; i < Math.min(30, head.length); i++) text += String.fromCharCode(head[i]!);
  return /^SIMPLE {2}= {1,20}[TF]/.test(text);
}

/**
 * All header and data units of a file. Data that reach beyond the file's end are told of where they are asked for.
 *
 * @throws InputError where a header never ends or its sizes are no sizes
 */
export function readUnits(source: ByteSource, file: string): HeaderDataUnit[] {
  const units: HeaderDataUnit[] = [];
  for (let at = 0; at < source.length && units.length < MOST_UNITS;) {
    const first = viewAt(source, file, at, Math.min(8, source.length - at), 'a header');
    // anything may stand behind the last unit (section 3.5)
    if (units.length > 0 && !/^XTENSION/.test(characters(first))) break;
    const { cards, end } = readCards(source, file, at);
    const shape = shapeOf(cards, file, at);
    const bitsEach = Math.abs(numberOf(cards, 'BITPIX') ?? 8);
    const groups = numberOf(cards, 'GCOUNT') ?? 1;
    const heap = numberOf(cards, 'PCOUNT') ?? 0;
    const pixels = shape.length === 0 ? 0 : shape.reduce((n, extent) => n * extent, 1);
    const dataBytes = (bitsEach / 8) * groups * (heap + pixels);
    if (!Number.isSafeInteger(dataBytes) || dataBytes < 0)
      throw problem(file, at, `data of ${dataBytes} bytes (BITPIX, NAXISn, PCOUNT, GCOUNT)`, 'a size');
    const extension = cards.get('XTENSION');
    units.push({
      kind: typeof extension === 'string' ? extension.trim().toLowerCase() : 'image',
      name: textOf(cards, 'EXTNAME') ?? (units.length === 0 ? 'primary' : `extension ${units.length}`),
      cards,
      shape,
      dataAt: end,
      dataBytes,
    });
    at = end + Math.ceil(dataBytes / BLOCK_BYTES) * BLOCK_BYTES;
  }
  return units;
}

/** Keywords up to END; `end` is the first byte behind the header's last block. */
function readCards(source: ByteSource, file: string, start: number): { cards: Map<string, Card>; end: number } {
  const cards = new Map<string, Card>();
  for (let at = start; ; at += BLOCK_BYTES) {
    if (at + BLOCK_BYTES > source.length)
      throw problem(file, at, `the end of the file after ${source.length} bytes`, 'a header that closes with END');
    const block = characters(viewAt(source, file, at, BLOCK_BYTES, 'a header block'));
    for (let c = 0; c < BLOCK_BYTES; c += CARD_BYTES) {
      const card = block.slice(c, c + CARD_BYTES);
      const key = card.slice(0, 8).trimEnd();
      if (key === 'END') return { cards, end: at + BLOCK_BYTES };
      if (card.slice(8, 10) === '= ' && !cards.has(key)) cards.set(key, valueOf(card.slice(10)));
    }
  }
}

/** A value: a string in quotes (two quotes are one), T or F, or a number with D or E as exponent. */
function valueOf(text: string): Card {
  const string = /^\s*'((?:[^']|'')*)'/.exec(text);
  if (string !== null) return string[1]!.replaceAll("''", "'").trimEnd();
  const bare = text.replace(/\/.*$/, '').trim();
  if (bare === 'T' || bare === 'F') return bare === 'T';
  const number = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[EeDd][+-]?\d+)?$/.test(bare) ? Number(bare.replace(/[Dd]/, 'e')) : NaN;
  return Number.isFinite(number) ? number : null;
}

function shapeOf(cards: ReadonlyMap<string, Card>, file: string, at: number): number[] {
  const axes = numberOf(cards, 'NAXIS') ?? NaN;
  if (!Number.isInteger(axes) || axes < 0 || axes > 999) throw problem(file, at, `NAXIS = ${axes}`, '0 to 999');
  return Array.from({ length: axes }, (_, a) => {
    const extent = numberOf(cards, `NAXIS${a + 1}`) ?? NaN;
    if (!Number.isSafeInteger(extent) || extent < 0)
      throw problem(file, at, `NAXIS${a + 1} = ${extent}`, 'a whole number of at least 0');
    return extent;
  });
}

export function numberOf(cards: ReadonlyMap<string, Card>, key: string): number | null {
  const value = cards.get(key);
  return typeof value === 'number' ? value : null;
}

export function textOf(cards: ReadonlyMap<string, Card>, key: string): string | null {
  const value = cards.get(key);
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : null;
}

export function problem(file: string, at: number, found: string, expected: string): InputError {
  return new InputError({
    file,
    place: `byte ${at}`,
    found,
    expected,
    wayOut: 'The file is cut off or damaged: copy it again.',
  });
}
