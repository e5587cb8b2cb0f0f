import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Folder of real measurements beside the repository (or where SPURLEDGER_SHARED says); null where it is absent. */
export const realCaptures: string | null =
  [process.env['SPURLEDGER_SHARED'], join(import.meta.dirname, '..', '..', 'shared')]
    .filter((folder) => folder !== undefined)
    .map((folder) => join(folder, 'real-captures'))
    .find((folder) => existsSync(folder)) ?? null;

/** Why a test on real captures was skipped. */
export const ABSENT = 'no real captures beside this repository';

/** A real capture's bytes and the files beside it that share its stem. */
export function realCapture(path: string): { bytes: Uint8Array; file: string; companions: Map<string, Uint8Array> } {
  const full = join(realCaptures!, path);
  const folder = join(full, '..');
  const file = path.split('/').pop()!;
  const stem = file.replace(/\.[^.]*$/, '');
  const companions = new Map<string, Uint8Array>();
  for (const name of readdirSync(folder))
    if (name !== file && name.startsWith(`${stem}.`)) companions.set(name, readFileSync(join(folder, name)));
  return { bytes: readFileSync(full), file, companions };
}
