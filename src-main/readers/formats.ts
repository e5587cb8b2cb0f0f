import type { ByteSource } from '../model/byte-source.ts';
import { isFits } from './fits/header.ts';
import { isSpreadsheet } from './spreadsheet/zip-entries.ts';
import { isSweepRows } from './sweep-rows/read-sweep-rows.ts';
import { isTar } from './tar/entries.ts';
import { isTraceJson } from './trace-json/read-trace-json.ts';
import { isTouchstone } from './touchstone/option-line.ts';

/** The formats that are told apart before any of them is read. */
export type Format =
  | 'wav'
  | 'npy'
  | 'fits'
  | 'sigmf-meta'
  | 'sigmf-data'
  | 'sigmf-archive'
  | 'touchstone'
  | 'spreadsheet'
  | 'sweep-rows'
  | 'trace-json'
  | 'text';

/** What a format is called in messages, and how its files' names usually end. */
export const FORMAT_NAMES: Readonly<Record<Format, { readonly words: string; readonly endings: RegExp | null }>> = {
  wav: { words: 'a WAV recording', endings: /\.(?:wav|wave|rf64|bw64)$/i },
  npy: { words: 'a NumPy array', endings: /\.npy$/i },
  fits: { words: 'a FITS file', endings: /\.(?:fits?|fts)$/i },
  'sigmf-meta': { words: 'SigMF metadata', endings: /\.sigmf-meta$/i },
  'sigmf-data': { words: 'SigMF samples', endings: /\.sigmf-data$/i },
  'sigmf-archive': { words: 'a tar archive', endings: /\.(?:sigmf|tar)$/i },
  touchstone: { words: 'a network parameter file (Touchstone)', endings: /\.(?:s\d{1,2}p|ts)$/i },
  spreadsheet: { words: 'a spreadsheet', endings: /\.(?:xlsx|xlsm|ods)$/i },
  'sweep-rows': { words: 'rows of sweep segments', endings: null },
  'trace-json': { words: 'a trace taken out as JSON', endings: null },
  text: { words: 'text', endings: null },
};

/** Bytes looked at to recognise text formats. */
const HEAD = 65_536;

const MARKS: readonly (readonly [readonly number[], Format])[] = [
  [[0x52, 0x49, 0x46, 0x46], 'wav'], // RIFF
  [[0x52, 0x49, 0x46, 0x58], 'wav'], // RIFX
  [[0x52, 0x46, 0x36, 0x34], 'wav'], // RF64
  [[0x42, 0x57, 0x36, 0x34], 'wav'], // BW64
  [[0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59], 'npy'],
];

/**
 * The format of a file by its content, and by its name only where the content does not say: samples without a head, or a file too
 * short or damaged to show what it is.
 */
export function recogniseFormat(source: ByteSource, file: string): Format {
  // a data file may begin with anything
  if (FORMAT_NAMES['sigmf-data'].endings!.test(file)) return 'sigmf-data';
  const head = source.read(0, Math.min(source.length, HEAD)).slice();
  for (const [mark, format] of MARKS) if (mark.every((byte, i) => head[i] === byte)) return format;
  if (isFits(head)) return 'fits';
  if (isSpreadsheet(head)) return 'spreadsheet';
  if (isTar(source)) return 'sigmf-archive';
  if (isTraceJson(head)) return 'trace-json';
  if (looksLikeMetadata(head)) return 'sigmf-meta';
  if (isSweepRows(head)) return 'sweep-rows';
  const byName = (Object.keys(FORMAT_NAMES) as Format[]).find(
    (format) => FORMAT_NAMES[format].endings?.test(file) === true,
  );
  if (isTouchstone(head, byName === 'touchstone')) return 'touchstone';
  // names that nothing in the content contradicts: the reader then says what is missing
  return byName === 'sigmf-meta' || byName === 'touchstone' ? byName : 'text';
}

/** A sentence where the name's ending belongs to another format than the content; null where it does not. */
export function wrongEnding(format: Format, file: string): string | null {
  const ending = /\.[^./\\ ]{1,12}$/.exec(file)?.[0] ?? '';
  const belongs = (Object.keys(FORMAT_NAMES) as Format[]).find(
    (other) => FORMAT_NAMES[other].endings?.test(file) === true,
  );
  const { words, endings } = FORMAT_NAMES[format];
  const isText = /\.(?:csv|txt|dat|asc|tsv)$/i.test(ending);
  if (belongs === format || ending === '' || endings === null) {
    // text under the name of another format
    return belongs !== undefined && endings === null
      ? `The name ends in ${ending}, but the file is ${words}: the content was believed.`
      : null;
  }
  return belongs !== undefined || isText
    ? `The name ends in ${ending}, but the file is ${words}: the content was believed.`
    : null;
}

/** JSON whose beginning holds a `global` part or a core field. */
function looksLikeMetadata(head: Uint8Array): boolean {
  let i = head[0] === 0xef ? 3 : 0;
  while (i < head.length && (head[i] === 32 || head[i] === 9 || head[i] === 10 || head[i] === 13)) i++;
  if (head[i] !== 0x7b) return false;
  let text = '';
  for (const end = Math.min(head.length, 8192); i < end; i++) text += String.fromCharCode(head[i]!);
  return /"core:[a-z_0-9]+"\s*:|"global"\s*:\s*\{/.test(text);
}
