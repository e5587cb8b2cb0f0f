import type { AnalyseInput } from '../../engine/analyse.ts';
import { applyChain, isChainRefused, type Calibrated } from '../../engine/calibration/apply-chain.ts';
import { InputError } from '../../model/input-problem.ts';
import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import type { Trace } from '../../model/trace.ts';
import { withStatedUnit } from '../steps/choose-trace.ts';

/**
 * A capture's trace with the unit that holds, through its calibration chain.
 *
 * @param kept the trace as the file gives it
 * @throws InputError where the chain does not fit
 */
export function calibratedCapture({ condition, tables, file, chain }: PacketCapture, kept: Trace): Calibrated {
  const trace = withStatedUnit(kept, condition);
  if (tables.length === 0)
    return { trace, sigmaDb: new Float64Array(trace.level.length), isFactored: false, warnings: [] };
  const applied = applyChain(trace, tables);
  if (!isChainRefused(applied)) return applied;
  const { found, expected, wayOut } = applied;
  throw new InputError({ file, place: `calibration chain ${chain ?? ''}`, found, expected, wayOut });
}

/** What the engine takes for one capture of a packet: its calibrated trace, the packet's sources, its settings. */
export function triageInput(
  contents: PacketContents,
  capture: PacketCapture,
  kept: Trace,
): Omit<AnalyseInput, 'onProgress'> {
  const { condition, settings } = capture;
  return {
    trace: calibratedCapture(capture, kept).trace,
    sources: contents.sources.map(({ source }) => source),
    condition,
    bands: contents.bands,
    settings,
  };
}
