import { resolve } from 'node:path';
import packageFacts from '../../package.json' with { type: 'json' };
import { publicKeyOf } from '../api/packet/signature.ts';
import { sourceToVerify, verifyPacket } from '../api/packet/verify-packet.ts';
import { terminalText } from '../report/terminal-text.ts';
import { verifyDocument, type VerifyReport } from '../report/packet/verify-document.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import { readInputFile } from './input-file.ts';
import { triagesIn } from './triages-ahead.ts';
import { EXIT, type ExitStatus, type Terminal } from './terminal.ts';

/** `verify PACKET [--public-key FILE]`: every sum, then every result computed again. Exit 3 where either is wrong. */
export async function verifyCommand(
  call: Extract<Call, { command: 'verify' }>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const collected = new Collected(terminal);
  const folder = resolve(terminal.folder, call.packet);
  const tell = (_: number, step: string): void => {
    if (terminal.showsProgress) terminal.err(`\r\u001b[K${terminalText(step)}`);
  };
  const triages = await triagesIn(sourceToVerify(folder), tell);
  const report = collected.attempt(call.packet, () => {
    const key = call.publicKey;
    const publicKey =
      key === null ? null : publicKeyOf(Buffer.from(readInputFile(key, terminal.folder)).toString('utf8'), key);
    return verifyPacket(folder, { engineVersion: packageFacts.version, publicKey, triages, onProgress: tell });
  });
  if (terminal.showsProgress) terminal.err('\r\u001b[K');
  if (report === null) return collected.status;
  terminal.out(call.json ? `${JSON.stringify(verifyDocument(report), null, 2)}\n` : verifyText(call.packet, report));
  return report.intact && report.reproduces ? EXIT.done : EXIT.input;
}

function verifyText(packet: string, report: VerifyReport): string {
  const lines = [
    `${packet}: ${report.intact ? 'intact' : 'NOT intact'}, ${report.reproduces ? 'all results come out again' : 'results do NOT come out again'}`,
    `written by spurledger ${report.writtenBy ?? 'of unknown version'}, verified by ${report.verifiedBy}, ${report.tolerance === null ? 'to the last bit' : `within ${report.tolerance} of each number’s size`}`,
    ...(report.documentsRecomputed
      ? []
      : ['tables, plots, page and print are of another version: checked by their sums, not made again']),
    `signature: ${report.signature}${report.signer === null ? '' : `, key ${report.signer}`}`,
    ...report.problems.map(({ path, found, expected }) => `${path}: found ${found}; expected ${expected}`),
  ];
  return `${lines.map(terminalText).join('\n')}\n`;
}
