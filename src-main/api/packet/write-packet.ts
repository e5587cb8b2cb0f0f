import { MANIFEST, manifestText, SIGNATURE, type ManifestEntry } from '../../report/packet/manifest.ts';
import { composePacket } from './compose-packet.ts';
import { fillNewFolder } from './packet-folder.ts';
import type { PacketSource } from './packet-source.ts';
import { signatureText } from './signature.ts';
import { sha256 } from '../../register/blobs.ts';

export interface SigningKey {
  /** Name of the file, for messages. */
  readonly file: string;
  readonly pem: string;
}

export interface WrittenPacket {
  readonly manifestSha256: string;
  readonly files: readonly ManifestEntry[];
}

/**
 * Writes a packet into a folder that is not there yet.
 *
 * @throws InputError where the folder exists, or the key does not fit (before anything is computed)
 */
export function writePacket(
  source: PacketSource,
  folder: string,
  key: SigningKey | null,
  onProgress?: (fraction: number, step: string) => void,
): WrittenPacket {
  if (key !== null) mustSign(key);
  return fillNewFolder(folder, (put) => {
    const entries: ManifestEntry[] = [];
    composePacket(
      source,
      (path, bytes) => {
        entries.push({ path, sha256: sha256(bytes) });
        put(path, bytes);
      },
      onProgress,
    );
    const manifest = Buffer.from(manifestText(entries), 'utf8');
    put(MANIFEST, manifest);
    if (key !== null) put(SIGNATURE, Buffer.from(signatureText(manifest, key.pem, key.file), 'utf8'));
    return { manifestSha256: sha256(manifest), files: entries.sort((a, b) => (a.path < b.path ? -1 : 1)) };
  });
}

/** Tells of a key that does not fit at once, not after the work. @throws InputError */
export function mustSign({ pem, file }: SigningKey): void {
  signatureText(new Uint8Array(), pem, file);
}
