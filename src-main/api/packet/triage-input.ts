import type { AnalyseInput } from '../../engine/analyse.ts';
import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import type { Trace } from '../../model/trace.ts';
import { withStatedUnit } from '../steps/choose-trace.ts';

/** What the engine takes for one capture of a packet: the trace with the unit that holds, the packet's sources, its settings. */
export function triageInput(
  contents: PacketContents,
  capture: PacketCapture,
  kept: Trace,
): Omit<AnalyseInput, 'onProgress'> {
  const { condition, settings } = capture;
  return {
    trace: withStatedUnit(kept, condition),
    sources: contents.sources.map(({ source }) => source),
    condition,
    settings,
  };
}
