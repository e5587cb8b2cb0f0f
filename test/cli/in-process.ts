import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach } from 'vitest';
import { runCommandLine } from '../../src-main/cli/command-line.ts';

const folders: string[] = [];

/** A fresh folder with these files in it; removed after the test. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>> = {}): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-cli-'));
  folders.push(folder);
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

/** Runs one command in this process: exit status and what was written where. */
export async function run(folder: string, ...words: readonly string[]) {
  let out = '';
  let err = '';
  const status = await runCommandLine(words, {
    out: (text) => (out += text),
    err: (text) => (err += text),
    folder,
    showsProgress: false,
  });
  return { status, out, err };
}

afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});
