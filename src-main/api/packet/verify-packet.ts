import { lstatSync } from 'node:fs';
import type { KeyObject } from 'node:crypto';
import { InputError } from '../../model/input-problem.ts';
import type { Triage } from '../../model/triage.ts';
import { parseColumnsCsv } from '../../report/packet/columns-csv.ts';
import { firstDifference, type Difference } from '../../report/packet/difference.ts';
import { fromLosslessJson } from '../../report/packet/lossless-json.ts';
import { MANIFEST, mustBeSmall, readManifest, SIGNATURE } from '../../report/packet/manifest.ts';
import type { VerifyProblem, VerifyReport } from '../../report/packet/verify-document.ts';
import { composePacket } from './compose-packet.ts';
import { folderSource } from './folder-source.ts';
import { listFolder, readPlainFile } from './packet-folder.ts';
import { FLOOR_HEADS } from './packet-paths.ts';
import type { PacketSource } from './packet-source.ts';
import { withTriages } from './triage-ahead.ts';
import { checkSignature } from './signature.ts';
import { sha256 } from '../../register/blobs.ts';

export interface VerifyOptions {
  /** This program's version; with the packet's own every byte must come out again. */
  readonly engineVersion: string;
  /** Key that the packet must be signed with; null: any, or none. */
  readonly publicKey: KeyObject | null;
  /** Triages of the packet's own captures, computed ahead from its traces by this very program. */
  readonly triages?: ReadonlyMap<number, Triage>;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/** How far a number may lie off where another version recomputes it: share of its size, or this where that is smaller than one. */
export const OTHER_VERSION_TOLERANCE = 1e-6;

/**
 * Checks a packet with nothing but itself. First the sums: altered, missing, added and reordered files are each named. Then all
 * results are thrown away, computed again from traces and settings, and compared. Never throws for what a packet holds.
 */
export function verifyPacket(folder: string, options: VerifyOptions): VerifyReport {
  const problems: VerifyProblem[] = [];
  const sums = checkSums(folder, options.publicKey, (path, found, expected) =>
    problems.push({ path, found, expected }),
  );
  const broken = problems.length;
  const named = new Set(problems.map(({ path }) => path));
  const recomputed = recompute(folder, options, (path, found, expected) => {
    // a file whose sum is wrong already is not told of twice, but the packet does not reproduce
    if (!named.has(path)) problems.push({ path, found, expected });
  });
  return {
    intact: broken === 0,
    reproduces: recomputed.reproduces,
    problems,
    writtenBy: recomputed.writtenBy,
    verifiedBy: options.engineVersion,
    tolerance: recomputed.writtenBy === options.engineVersion ? null : OTHER_VERSION_TOLERANCE,
    documentsRecomputed: recomputed.writtenBy === options.engineVersion,
    ...sums,
  };
}

type Report = (path: string, found: string, expected: string) => void;
type Sums = Pick<VerifyReport, 'signature' | 'signer' | 'manifestSha256'>;

/** The sums alone: every file against the manifest, the manifest's own form, the signature over it. */
export function checkSums(folder: string, publicKey: KeyObject | null, report: Report): Sums {
  const none: Sums = { signature: 'none', signer: null, manifestSha256: null };
  if (lstatSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) {
    report('.', 'no folder', 'the folder of a packet');
    return none;
  }
  const { files, odd } = listFolder(folder);
  for (const path of odd) report(path, 'a link or something else that is no plain file', 'plain files only');
  const manifest = readPlainFile(folder, MANIFEST);
  if (manifest === null) {
    report(MANIFEST, 'missing', 'the list of sums');
    return none;
  }
  mustBeSmall(manifest.length);
  const { entries, problems } = readManifest(textOf(manifest, (found) => report(MANIFEST, found, 'plain text')));
  for (const { found, expected } of problems) report(MANIFEST, found, expected);
  const listed = new Set(entries.map(({ path }) => path));
  for (const { path, sha256: expected } of entries) {
    const bytes = readPlainFile(folder, path);
    if (bytes === null) report(path, 'missing', `a file with the sum ${expected}`);
    else if (sha256(bytes) !== expected) report(path, `altered: the sum is ${sha256(bytes)}`, expected);
  }
  for (const path of files)
    if (!listed.has(path) && path !== MANIFEST && path !== SIGNATURE)
      report(path, 'added', 'no such file in the manifest');
  return { ...signatureOf(folder, manifest, publicKey, report), manifestSha256: sha256(manifest) };
}

function signatureOf(
  folder: string,
  manifest: Uint8Array,
  wanted: KeyObject | null,
  report: Report,
): Omit<Sums, 'manifestSha256'> {
  const bytes = readPlainFile(folder, SIGNATURE);
  if (bytes === null) {
    if (wanted !== null) report(SIGNATURE, 'missing', 'a signature by the key that was given');
    return { signature: wanted === null ? 'none' : 'bad', signer: null };
  }
  const text = textOf(bytes, (found) => report(SIGNATURE, found, 'plain text'));
  const { problem, fingerprint } = checkSignature(text, manifest, wanted);
  if (problem !== null) report(SIGNATURE, problem.found, problem.expected);
  return { signature: problem !== null ? 'bad' : wanted === null ? 'by an unknown key' : 'good', signer: fingerprint };
}

/** Text of bytes that must be UTF-8: a byte that is none would read as another and go unnoticed. */
function textOf(bytes: Uint8Array, report: (found: string) => void): string {
  const text = Buffer.from(bytes).toString('utf8');
  if (!Buffer.from(text, 'utf8').equals(bytes)) report('bytes that are no UTF-8');
  return text;
}

function recompute(
  folder: string,
  options: VerifyOptions,
  report: Report,
): { reproduces: boolean; writtenBy: string | null } {
  let writtenBy: string | null = null;
  let reproduces = true;
  const differ: Report = (path, found, expected) => {
    reproduces = false;
    report(path, found, expected);
  };
  try {
    const source: PacketSource = withTriages(folderSource(folder), options.triages ?? new Map());
    writtenBy = String(source.contents.engineVersion);
    const isSame = writtenBy === options.engineVersion;
    const made = new Set<string>();
    composePacket(
      source,
      (path, bytes) => {
        made.add(path);
        const kept = readPlainFile(folder, path);
        if (kept === null) differ(path, 'missing', 'a file that every packet has');
        else if (!Buffer.from(kept).equals(bytes)) {
          const difference = isSame
            ? differenceOf(path, kept, bytes, null)
            : differenceOf(path, kept, bytes, OTHER_VERSION_TOLERANCE);
          if (difference !== null) differ(path, `${difference.place}: ${difference.found}`, difference.expected);
        }
      },
      options.onProgress,
    );
    for (const path of listFolder(folder).files)
      if (!made.has(path) && path !== MANIFEST && path !== SIGNATURE && (isSame || path.startsWith('results/')))
        differ(path, 'added', 'no file that the contents give');
  } catch (error) {
    if (error instanceof InputError)
      differ(error.problem.file, `${error.problem.place}: ${error.problem.found}`, error.problem.expected);
    else
      differ(
        'packet.json',
        `contents that nothing can be computed from (${error instanceof Error ? error.message : String(error)})`,
        'the contents as they were written',
      );
  }
  return { reproduces, writtenBy };
}

/** Where a file departs from what is computed; with another version only results are held against each other. */
function differenceOf(path: string, kept: Uint8Array, made: Uint8Array, tolerance: number | null): Difference | null {
  const [found, expected] = [kept, made].map((bytes) => Buffer.from(bytes).toString('utf8')) as [string, string];
  const isResult = path.startsWith('results/');
  if (tolerance !== null && !isResult) return null;
  try {
    if (isResult && path.endsWith('.json')) {
      const difference = firstDifference(fromLosslessJson(found), fromLosslessJson(expected), tolerance);
      return difference ?? (tolerance === null ? byLine(found, expected) : null);
    }
    if (isResult && tolerance !== null) {
      const [a, b] = [found, expected].map((text) =>
        parseColumnsCsv(text, path, FLOOR_HEADS).map((column) => [...column]),
      );
      return firstDifference(a, b, tolerance);
    }
  } catch {
    return byLine(found, expected);
  }
  return byLine(found, expected);
}

function byLine(found: string, expected: string): Difference {
  const [a, b] = [found.split('\n'), expected.split('\n')];
  const at = a.findIndex((line, i) => line !== b[i]);
  const line = at < 0 ? a.length : at;
  return { place: `line ${line + 1}`, found: shortened(a[line]), expected: shortened(b[line]) };
}

function shortened(line: string | undefined): string {
  return line === undefined ? 'the end' : line.length > 120 ? `${line.slice(0, 120)}…` : line;
}

/** What a packet would be computed from, or null where it cannot be read; verifyPacket says why. */
export function sourceToVerify(folder: string): PacketSource | null {
  try {
    return folderSource(folder);
  } catch {
    return null;
  }
}
