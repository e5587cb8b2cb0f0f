import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import type { Trace } from '../../model/trace.ts';
import type { Triage } from '../../model/triage.ts';

/** Where a packet is made from: the register, or the folder of another packet that is being verified. */
export interface PacketSource {
  readonly contents: PacketContents;
  /** A trace as it is kept, in its file's own unit. @throws where it is missing or damaged */
  readonly trace: (captureId: number, traceIndex: number) => Trace;
  /** Bytes of the original file. */
  readonly original: (captureId: number) => Uint8Array;
  /** A triage that was computed from exactly these inputs by this version; left out or null: it is computed. A packet to verify has none. */
  readonly knownTriage?: (capture: PacketCapture) => Triage | null;
}
