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
  /** A triage that was computed ahead, by this very program; left out or null: it is computed when it is needed. Never one that was kept. */
  readonly triageAhead?: (capture: PacketCapture) => Triage | null;
}
