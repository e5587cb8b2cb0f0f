import type { VerifyReport } from '../../report/packet/verify-document.ts';
import type { Triage } from '../../model/triage.ts';
import { InputError } from '../../model/input-problem.ts';
import { RegisterError } from '../../register/register-error.ts';
import { openRegister } from '../../register/register.ts';
import { packetOf, type PacketMade, type PacketOrder } from './packet-of-register.ts';
import { publicKeyOf } from './signature.ts';
import { verifyPacket } from './verify-packet.ts';

/** A packet to be written by a worker, which opens the register file for itself. */
export interface PacketJob extends Pick<PacketOrder, 'freezeId' | 'folder' | 'key' | 'engineVersion'> {
  readonly register: string;
  readonly who: string;
  /** The moment the call was made: a worker asks no clock. */
  readonly at: string;
  readonly triages: ReadonlyMap<number, Triage>;
}

export interface VerifyJob {
  readonly folder: string;
  readonly publicKey: { readonly file: string; readonly pem: string } | null;
  readonly engineVersion: string;
  readonly triages: ReadonlyMap<number, Triage>;
}

type Progress = (fraction: number, step: string) => void;

/** The work of both kinds of job. What the register refuses crosses as the problem it is. */
export function packetOutput(
  request:
    { readonly kind: 'packet'; readonly input: PacketJob } | { readonly kind: 'verify'; readonly input: VerifyJob },
  onProgress: Progress,
): PacketMade | VerifyReport {
  try {
    return request.kind === 'packet' ? written(request.input, onProgress) : verified(request.input, onProgress);
  } catch (error) {
    throw error instanceof RegisterError ? new InputError(error.problem) : error;
  }
}

function written({ register: path, who, at, ...order }: PacketJob, onProgress: Progress): PacketMade {
  const now = (): Date => new Date(at);
  const register = openRegister(path, { who, now });
  try {
    return packetOf(register, { ...order, now, onProgress });
  } finally {
    register.close();
  }
}

function verified({ folder, publicKey, engineVersion, triages }: VerifyJob, onProgress: Progress): VerifyReport {
  const key = publicKey === null ? null : publicKeyOf(publicKey.pem, publicKey.file);
  return verifyPacket(folder, { engineVersion, publicKey: key, triages, onProgress });
}
