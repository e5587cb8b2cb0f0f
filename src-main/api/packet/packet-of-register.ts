import { basename } from 'node:path';
import type { Freeze } from '../../model/freeze.ts';
import type { Triage } from '../../model/triage.ts';
import type { ManifestEntry } from '../../report/packet/manifest.ts';
import type { Register } from '../../register/register.ts';
import { contentsNow, frozenContents, registerSource } from './register-source.ts';
import { contentsDifferences } from './contents-differences.ts';
import type { PacketSource } from './packet-source.ts';
import { withTriages } from './triage-ahead.ts';
import { writePacket, type SigningKey } from './write-packet.ts';

export interface PacketOrder {
  /** A revision's number in the register; `latest`: the newest, or a draft where nothing is frozen; null: a draft. */
  readonly freezeId: number | 'latest' | null;
  /** Absolute path of a folder that is not there yet. */
  readonly folder: string;
  readonly key: SigningKey | null;
  readonly engineVersion: string;
  readonly now: () => Date;
  /** Triages computed ahead by this very program, by capture. */
  readonly triages?: ReadonlyMap<number, Triage>;
  readonly onProgress?: (fraction: number, step: string) => void;
}

export interface PacketMade {
  readonly manifestSha256: string;
  readonly files: readonly ManifestEntry[];
  /** Null for a draft. */
  readonly revision: number | null;
  readonly warnings: readonly string[];
}

/** Writes a packet of a register and records it there; what a recorded packet rests on can no longer be removed. */
export function packetOf(register: Register, order: PacketOrder): PacketMade {
  const { folder, key, engineVersion } = order;
  const freeze = freezeOf(register, order.freezeId);
  const source = withTriages(registerSource(register, freeze, engineVersion), order.triages ?? new Map());
  const { manifestSha256, files } = writePacket(source, folder, key, order.onProgress);
  if (freeze !== null && !register.readOnly)
    register.packets.put(null, {
      freezeId: freeze.id,
      folder: basename(folder),
      manifestSha256,
      files: files.length,
      signed: key !== null,
      at: order.now().toISOString(),
    });
  return {
    manifestSha256,
    files,
    revision: freeze?.revision ?? null,
    warnings: warningsOf(register, freeze, engineVersion),
  };
}

/** What such a packet is made from, to compute its triages ahead. */
export function sourceOf(
  register: Register,
  { freezeId, engineVersion }: Pick<PacketOrder, 'freezeId' | 'engineVersion'>,
): PacketSource {
  return registerSource(register, freezeOf(register, freezeId), engineVersion);
}

function freezeOf(register: Register, which: PacketOrder['freezeId']): Freeze | null {
  if (which === null) return null;
  return which === 'latest' ? (register.freezes.list().at(-1) ?? null) : register.freezes.get(which);
}

function warningsOf(register: Register, freeze: Freeze | null, engineVersion: string): string[] {
  if (freeze === null) return ['nothing is frozen, so this is a draft: freeze the state that is to be signed'];
  const since = contentsDifferences(
    frozenContents(register, freeze),
    contentsNow(register, freeze.stateId, engineVersion),
  );
  return since.length === 0
    ? []
    : [
        `${since.length} things in the register differ from revision ${freeze.revision} since it was frozen; the packet is of the frozen revision`,
      ];
}
