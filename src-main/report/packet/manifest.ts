import { InputError } from '../../model/input-problem.ts';

/** Name of the list of sums; the common form of `sha256sum`, so that `sha256sum -c manifest.sha256` checks it with nothing of ours. */
export const MANIFEST = 'manifest.sha256';
/** Name of the signature over the manifest; it and the manifest are the only files that the manifest does not list. */
export const SIGNATURE = 'signature.json';

export interface ManifestEntry {
  readonly path: string;
  readonly sha256: string;
}

/** One line a file, by path in code-unit order: sum, two blanks, path. */
export function manifestText(entries: readonly ManifestEntry[]): string {
  return [...entries]
    .sort(byPath)
    .map(({ path, sha256 }) => `${sha256}  ${path}\n`)
    .join('');
}

export interface ReadManifest {
  readonly entries: readonly ManifestEntry[];
  /** What is wrong with its form or order, one line each with its place. */
  readonly problems: readonly { readonly found: string; readonly expected: string }[];
}

/**
 * The entries of a manifest and everything in it that manifestText would not have written: any byte changed shows here or in a sum.
 *
 * A path that leads out of the packet, or is written in any way but the plain one, is a problem and no entry.
 */
export function readManifest(text: string): ReadManifest {
  const entries: ManifestEntry[] = [];
  const problems: { found: string; expected: string }[] = [];
  const lines = text.split('\n');
  if (lines.at(-1) === '') lines.pop();
  else problems.push({ found: 'no line end at the end', expected: 'a line end after every entry' });
  for (const [i, line] of lines.entries()) {
    const match = /^([0-9a-f]{64}) {2}(.+)$/.exec(line);
    if (match === null)
      problems.push({
        found: `line ${i + 1}: "${line.slice(0, 80)}"`,
        expected: '64 hexadecimal digits, two blanks, a path',
      });
    else if (!isPlainPath(match[2]!))
      problems.push({ found: `line ${i + 1}: the path "${match[2]!}"`, expected: 'a plain path inside the packet' });
    else entries.push({ sha256: match[1]!, path: match[2]! });
  }
  const paths = entries.map(({ path }) => path);
  const twice = paths.find((path, i) => paths.indexOf(path) !== i);
  if (twice !== undefined) problems.push({ found: `${twice} twice`, expected: 'each file once' });
  const firstOut = entries.findIndex((entry, i) => i > 0 && byPath(entries[i - 1]!, entry) > 0);
  if (firstOut >= 0)
    problems.push({
      found: `${paths[firstOut]!} after ${paths[firstOut - 1]!}: reordered`,
      expected: 'entries in order of their paths',
    });
  return { entries, problems };
}

/** Letters, digits, dot, hyphen and underscore between single slashes; no part is empty or made of dots alone. */
export function isPlainPath(path: string): boolean {
  return path.length <= 200 && path.split('/').every((part) => /^[\w-][\w.-]*$/.test(part));
}

/** @throws InputError where the manifest is so large that it is none */
export function mustBeSmall(bytes: number): void {
  if (bytes > 64 * 1024 * 1024)
    throw new InputError({
      file: MANIFEST,
      place: 'whole file',
      found: `${bytes} bytes`,
      expected: 'at most 64 MiB',
      wayOut: 'This is no manifest of a packet.',
    });
}

function byPath(a: ManifestEntry, b: ManifestEntry): number {
  return a.path < b.path ? -1 : a.path > b.path ? 1 : 0;
}
