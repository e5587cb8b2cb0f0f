import type { Triage } from '../../model/triage.ts';
import type { JobRunner } from '../jobs/job-runner.ts';
import { JobCancelled } from '../jobs/job-runner.ts';
import type { PacketSource } from './packet-source.ts';
import { triageInput } from './triage-input.ts';

/** Fewer captures are done before a worker has started. */
const FEW = 4;
/** More than there are workers, so that none waits for the next trace. */
const LANES = 10;

/**
 * Computes the triages of a packet's captures in workers, several at once: most of the time of a packet. A capture that cannot be
 * computed (a packet to verify may hold anything) is left out, and told of where the packet is composed.
 */
export async function triageAhead(
  source: PacketSource,
  jobs: JobRunner,
  jobId: string,
  onProgress: (fraction: number, step: string) => void = () => {},
): Promise<ReadonlyMap<number, Triage>> {
  const triages = new Map<number, Triage>();
  const { captures } = source.contents;
  if (captures.length < FEW) return triages;
  let done = 0;
  const waiting = [...captures];
  // a few at a time: a hundred long traces need not wait in memory
  const lane = async (): Promise<void> => {
    for (let capture = waiting.shift(); capture !== undefined; capture = waiting.shift()) {
      try {
        const input = triageInput(source.contents, capture, source.trace(capture.id, capture.traceIndex));
        triages.set(capture.id, await jobs.run('triage', input, { jobId }));
      } catch (error) {
        if (error instanceof JobCancelled) throw error;
      }
      onProgress(++done / captures.length, capture.file);
    }
  };
  await Promise.all(Array.from({ length: LANES }, lane));
  return triages;
}

/** The source with triages that were computed ahead. */
export function withTriages(source: PacketSource, triages: ReadonlyMap<number, Triage>): PacketSource {
  return { ...source, triageAhead: ({ id }) => triages.get(id) ?? null };
}
