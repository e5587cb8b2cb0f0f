import { InputError } from '../../model/input-problem.ts';
import { decode } from '../delimited/text.ts';

/** One object of a metadata file: names to whatever JSON holds. */
export type Fields = Readonly<Record<string, unknown>>;

export interface Metadata {
  readonly global: Fields;
  readonly captures: readonly Fields[];
  readonly annotations: readonly Fields[];
}

/** Where each core field that matters here has its place (SigMF specification 1.2). */
const PLACE: Readonly<Record<string, 'global' | 'captures'>> = {
  'core:datatype': 'global',
  'core:sample_rate': 'global',
  'core:num_channels': 'global',
  'core:offset': 'global',
  'core:trailing_bytes': 'global',
  'core:frequency': 'captures',
  'core:datetime': 'captures',
  'core:header_bytes': 'captures',
};

/** The three parts of a metadata file. Throws InputError where it is no JSON or has no such parts. */
export function parseMetadata(bytes: Uint8Array, file: string): Metadata {
  const start = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  let parsed: unknown;
  try {
    parsed = JSON.parse(decode(bytes, start, bytes.length, 'UTF-8'));
  } catch (error) {
    throw metadataProblem(file, 'the whole file', `no JSON (${String(error).slice(0, 120)})`, 'a JSON object');
  }
  if (!isFields(parsed)) throw metadataProblem(file, 'the whole file', 'JSON that is no object', 'an object');
  const global = parsed['global'];
  if (!isFields(global)) throw metadataProblem(file, 'global', wordFor(global), 'an object with the core fields');
  return { global, captures: listOf(parsed, 'captures', file), annotations: listOf(parsed, 'annotations', file) };
}

/**
 * Fields that stand in the wrong part, moved to where they belong and told of. A field in its own place is never overwritten.
 */
export function putInPlace(metadata: Metadata): { metadata: Metadata; warnings: string[] } {
  const warnings: string[] = [];
  const global: Record<string, unknown> = { ...metadata.global };
  const captures = metadata.captures.map((capture): Record<string, unknown> => ({ ...capture }));
  for (const [name, place] of Object.entries(PLACE)) {
    const wrong = place === 'global' ? captures : [global];
    const found = wrong.find((fields) => name in fields)?.[name];
    if (found === undefined) continue;
    const right = place === 'global' ? [global] : captures.length > 0 ? captures : [captures[captures.push({}) - 1]!];
    const missing = right.filter((fields) => !(name in fields));
    for (const fields of missing) fields[name] = found;
    const where = place === 'global' ? '“global”' : '“captures”';
    warnings.push(
      `“${name}” stands in the wrong part of the metadata; its place is ${where}. ${missing.length > 0 ? 'It was taken from where it stands.' : `The one in ${where} was taken.`}`,
    );
  }
  return { metadata: { ...metadata, global, captures }, warnings };
}

/** A finite number within limits, null where the field is absent. Throws InputError for anything else. */
export function numberIn(
  fields: Fields,
  name: string,
  where: string,
  file: string,
  { whole = false, least = -Number.MAX_VALUE }: { whole?: boolean; least?: number } = {},
): number | null {
  const value = fields[name];
  if (value === undefined || value === null) return null;
  const good =
    typeof value === 'number' && Number.isFinite(value) && value >= least && (!whole || Number.isSafeInteger(value));
  if (!good)
    throw metadataProblem(
      file,
      `${where}, ${name}`,
      wordFor(value),
      `a ${whole ? 'whole ' : ''}number${least > -Number.MAX_VALUE ? ` of at least ${least}` : ''}`,
    );
  return value;
}

export function textIn(fields: Fields, name: string): string | null {
  const value = fields[name];
  return typeof value === 'string' && value.trim() !== '' ? value.slice(0, 400) : null;
}

export function metadataProblem(file: string, place: string, found: string, expected: string): InputError {
  return new InputError({
    file,
    place,
    found,
    expected,
    wayOut: 'Correct the metadata file, or write it again with the program that recorded.',
  });
}

function listOf(parsed: Fields, name: string, file: string): readonly Fields[] {
  const list = parsed[name] ?? [];
  if (!Array.isArray(list)) throw metadataProblem(file, name, wordFor(list), 'a list of objects');
  list.forEach((entry: unknown, i) => {
    if (!isFields(entry)) throw metadataProblem(file, `${name}[${i}]`, wordFor(entry), 'an object');
  });
  return list as readonly Fields[];
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function wordFor(value: unknown): string {
  if (value === undefined) return 'nothing';
  return JSON.stringify(value).slice(0, 60);
}
