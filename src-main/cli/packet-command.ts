import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import packageFacts from '../../package.json' with { type: 'json' };
import { mustBeNew } from '../api/packet/packet-folder.ts';
import { packetOf, sourceOf } from '../api/packet/packet-of-register.ts';
import { mustSign } from '../api/packet/write-packet.ts';
import { InputError } from '../model/input-problem.ts';
import { openRegister } from '../register/register.ts';
import { terminalText } from '../report/terminal-text.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import { readInputFile } from './input-file.ts';
import type { ExitStatus, Terminal } from './terminal.ts';
import { triagesIn } from './triages-ahead.ts';
import { whoOf } from './who-of.ts';

/**
 * `packet --register FILE --out FOLDER [--key FILE]`: the sign-off packet of the latest frozen revision, or where nothing is frozen a
 * draft of the register as it stands. A folder that is there is never written into.
 */
export async function packetCommand(
  call: Extract<Call, { command: 'packet' }>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const collected = new Collected(terminal);
  const tell = (_: number, step: string): void => {
    if (terminal.showsProgress) terminal.err(`\r\u001b[K${terminalText(step)}`);
  };
  const opened = collected.attempt(call.register, () => openFor(call, terminal));
  if (opened === null) return collected.status;
  const { register, key } = opened;
  const order = {
    freezeId: 'latest',
    folder: resolve(terminal.folder, call.out),
    key,
    engineVersion: packageFacts.version,
    now: () => new Date(),
  } as const;
  const source = collected.attempt(call.register, () => sourceOf(register, order));
  const triages = await triagesIn(source, tell);
  const done =
    source === null
      ? null
      : collected.attempt(call.register, () => packetOf(register, { ...order, triages, onProgress: tell }));
  register.close();
  if (terminal.showsProgress) terminal.err('\r\u001b[K');
  if (done === null) return collected.status;
  collected.warn(call.register, done.warnings);
  const document = {
    schema: 'spurledger.packet/1',
    folder: call.out,
    manifest_sha256: done.manifestSha256,
    files: done.files.map(({ path, sha256 }) => ({ path, sha256 })),
    revision: done.revision,
    signed: call.key !== null,
  };
  if (call.json) terminal.out(`${JSON.stringify(document, null, 2)}\n`);
  else
    terminal.out(
      `${terminalText(call.out)}: ${done.revision === null ? 'a draft (nothing is frozen)' : `revision ${done.revision}`}, ${done.files.length} files, ` +
        `${call.key === null ? 'not signed' : 'signed'}\nmanifest ${done.manifestSha256}\n`,
    );
  return collected.status;
}

/** The register and the key of a call; a folder or key that does not fit is told before anything is computed. */
function openFor(call: Extract<Call, { command: 'packet' }>, terminal: Terminal) {
  const path = resolve(terminal.folder, call.register);
  if (!existsSync(path)) throw notThere(call.register);
  mustBeNew(resolve(terminal.folder, call.out));
  const key =
    call.key === null
      ? null
      : { file: call.key, pem: Buffer.from(readInputFile(call.key, terminal.folder)).toString('utf8') };
  if (key !== null) mustSign(key);
  return { register: openRegister(path, { who: whoOf(), now: () => new Date() }), key };
}

function notThere(file: string): InputError {
  return new InputError({
    file,
    place: 'the register file',
    found: 'no such file',
    expected: 'a register',
    wayOut: 'Name the register whose packet you want.',
  });
}
