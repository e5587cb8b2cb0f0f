import type { Capture } from '../model/capture.ts';
import { openCapture, type OpenOptions } from '../api/steps/open-capture.ts';
import type { ByteSource } from '../model/byte-source.ts';
import { readDocument } from '../report/read-document.ts';
import { readTable } from '../report/read-table.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import { companionsOf } from './companions.ts';
import { openInputFile } from './input-file.ts';
import type { ExitStatus, Terminal } from './terminal.ts';

/** `read CAPTURE…`: says what was understood of each file and computes nothing. */
export function readCommand(call: Extract<Call, { command: 'read' }>, terminal: Terminal): ExitStatus {
  const collected = new Collected(terminal);
  const captures: Capture[] = [];
  for (const file of call.captures) {
    const opened = collected.attempt(file, () => openNamed(file, terminal.folder, call.open));
    if (opened === null) continue;
    const { capture } = opened;
    collected.warn(file, capture.warnings);
    if (call.json) captures.push(capture);
    else terminal.out(`${readTable(capture)}\n`);
  }
  if (call.json) terminal.out(`${JSON.stringify(readDocument(captures, collected.problems), null, 2)}\n`);
  return collected.status;
}

/**
 * A capture named on the command line, read with its companions and a spectrum of each recording in it, and the bytes of its file (a
 * large file's as a source to be read in pieces). Throws InputError.
 */
export function openNamed(
  file: string,
  folder: string,
  options: OpenOptions = {},
): { capture: Capture; bytes: Uint8Array | ByteSource; beside: ReadonlyMap<string, Uint8Array | ByteSource> } {
  const bytes = openInputFile(file, folder);
  const beside = companionsOf(file, folder);
  return { capture: openCapture(bytes, file, beside, options), bytes, beside };
}
