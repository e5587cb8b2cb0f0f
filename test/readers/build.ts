import { zipSync, type Zippable } from 'fflate';

/** Bytes of open formats, built so that a test shows what it makes. */

export const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
export const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

export function joined(...parts: readonly (Uint8Array | string)[]): Uint8Array {
  const bytes = parts.map((part) => (typeof part === 'string' ? ascii(part) : part));
  const out = new Uint8Array(bytes.reduce((n, part) => n + part.length, 0));
  let at = 0;
  for (const part of bytes) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** Numbers in one of the stored kinds. */
export function numbers(
  kind: 'i8' | 'u8' | 'i16' | 'u16' | 'i24' | 'i32' | 'u32' | 'i64' | 'f32' | 'f64',
  values: readonly number[],
  bigEndian = false,
): Uint8Array {
  const width = Number(kind.slice(1)) / 8;
  const out = new Uint8Array(values.length * width);
  const view = new DataView(out.buffer);
  values.forEach((value, i) => {
    const at = i * width;
    if (kind === 'f32') view.setFloat32(at, value, !bigEndian);
    else if (kind === 'f64') view.setFloat64(at, value, !bigEndian);
    else if (kind === 'i64') view.setBigInt64(at, BigInt(value), !bigEndian);
    else
      for (let b = 0; b < width; b++)
        view.setUint8(at + (bigEndian ? width - 1 - b : b), Math.floor(value / 2 ** (8 * b)) & 255);
  });
  return out;
}

const u32 = (value: number): Uint8Array => numbers('u32', [value]);
const u16 = (value: number): Uint8Array => numbers('u16', [value]);

export function chunk(id: string, content: Uint8Array, statedSize = content.length): Uint8Array {
  return joined(id, u32(statedSize), content, new Uint8Array(content.length % 2));
}

export interface WavOptions {
  readonly tag?: number;
  readonly channels?: number;
  readonly rateHz?: number;
  readonly bits?: number;
  readonly extensible?: boolean;
}

export function formatChunk({
  tag = 1,
  channels = 1,
  rateHz = 48_000,
  bits = 16,
  extensible = false,
}: WavOptions): Uint8Array {
  const frame = (channels * bits) / 8;
  const plain = joined(
    u16(extensible ? 0xfffe : tag),
    u16(channels),
    u32(rateHz),
    u32(rateHz * frame),
    u16(frame),
    u16(bits),
  );
  if (!extensible) return chunk('fmt ', plain);
  const guid = joined(u16(tag), Uint8Array.from([0, 0, 0, 0, 16, 0, 128, 0, 0, 170, 0, 56, 155, 113]));
  return chunk('fmt ', joined(plain, u16(22), u16(bits), u32(0), guid));
}

export function wav(options: WavOptions, ...chunks: readonly Uint8Array[]): Uint8Array {
  const body = joined('WAVE', formatChunk(options), ...chunks);
  return joined('RIFF', u32(body.length), body);
}

export function npy(header: string, data: Uint8Array, version: 1 | 2 | 3 = 1): Uint8Array {
  const length = version === 1 ? u16(header.length) : u32(header.length);
  return joined(Uint8Array.from([0x93]), 'NUMPY', Uint8Array.from([version, 0]), length, header, data);
}

/** One header and data unit: cards as written, padded to blocks of 2880 bytes. */
export function fitsUnit(cards: readonly string[], data: Uint8Array = new Uint8Array(0)): Uint8Array {
  const padded = (bytes: Uint8Array, fill: number): Uint8Array => {
    const out = new Uint8Array(Math.ceil(bytes.length / 2880) * 2880).fill(fill);
    out.set(bytes);
    return out;
  };
  return joined(padded(ascii([...cards, 'END'].map((card) => card.padEnd(80)).join('')), 32), padded(data, 0));
}

export const card = (key: string, value: string | number | boolean): string =>
  `${key.padEnd(8)}= ${typeof value === 'string' ? `'${value}'` : typeof value === 'boolean' ? (value ? 'T' : 'F').padStart(20) : String(value).padStart(20)}`;

export function tar(...files: readonly (readonly [string, Uint8Array])[]): Uint8Array {
  const blocks = files.map(([name, content]) => {
    const header = new Uint8Array(512);
    header.set(ascii(name), 0);
    header.set(ascii('0000644\0'), 100);
    header.set(ascii(`${content.length.toString(8).padStart(11, '0')}\0`), 124);
    header.set(ascii('        '), 148);
    header.set(ascii('0ustar\x0000'), 156);
    header.set(
      ascii(
        `${header
          .reduce((sum, b) => sum + b, 0)
          .toString(8)
          .padStart(6, '0')}\0 `,
      ),
      148,
    );
    const body = new Uint8Array(Math.ceil(content.length / 512) * 512);
    body.set(content);
    return joined(header, body);
  });
  return joined(...blocks, new Uint8Array(1024));
}

export function sigmfMeta(
  global: Record<string, unknown>,
  captures: readonly Record<string, unknown>[] = [{ 'core:sample_start': 0 }],
  annotations: readonly Record<string, unknown>[] = [],
): Uint8Array {
  return utf8(JSON.stringify({ global: { 'core:version': '1.2.0', ...global }, captures, annotations }));
}

/** A workbook of sheets of plain cells; text goes in as inline strings. */
export function xlsx(sheets: Readonly<Record<string, readonly (readonly (string | number | null)[])[]>>): Uint8Array {
  const files: Zippable = {};
  const names = Object.keys(sheets);
  const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
  files['xl/workbook.xml'] = utf8(
    `<?xml version="1.0"?><workbook xmlns:r="r"><sheets>${names.map((name, i) => `<sheet name="${escaped(name)}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`).join('')}</sheets></workbook>`,
  );
  files['xl/_rels/workbook.xml.rels'] = utf8(
    `<Relationships>${names.map((_, i) => `<Relationship Id="rId${i + 1}" Target="worksheets/sheet${i + 1}.xml"/>`).join('')}</Relationships>`,
  );
  names.forEach((name, i) => {
    const rows = sheets[name]!.map((cells, r) => {
      const written = cells.map((cell, c) => {
        if (cell === null) return '';
        const at = `${String.fromCharCode(65 + c)}${r + 1}`;
        return typeof cell === 'number'
          ? `<c r="${at}"><v>${cell}</v></c>`
          : `<c r="${at}" t="inlineStr"><is><t>${escaped(cell)}</t></is></c>`;
      });
      return `<row r="${r + 1}">${written.join('')}</row>`;
    });
    files[`xl/worksheets/sheet${i + 1}.xml`] = utf8(`<worksheet><sheetData>${rows.join('')}</sheetData></worksheet>`);
  });
  return zipSync(files);
}

export function ods(content: string): Uint8Array {
  return zipSync({
    mimetype: [utf8('application/vnd.oasis.opendocument.spreadsheet'), { level: 0 }],
    'content.xml': utf8(
      `<?xml version="1.0"?><office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x"><office:body><office:spreadsheet>${content}</office:spreadsheet></office:body></office:document-content>`,
    ),
  });
}
