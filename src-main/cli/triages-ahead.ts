import { availableParallelism } from 'node:os';
import { JobRunner } from '../api/jobs/job-runner.ts';
import type { PacketSource } from '../api/packet/packet-source.ts';
import { triageAhead } from '../api/packet/triage-ahead.ts';
import type { Triage } from '../model/triage.ts';

/** The triages of a packet, computed by as many workers as the machine runs at once; none where there is no source. */
export async function triagesIn(
  source: PacketSource | null,
  onProgress: (fraction: number, step: string) => void,
): Promise<ReadonlyMap<number, Triage>> {
  if (source === null) return new Map();
  const jobs = new JobRunner(new URL('../worker.ts', import.meta.url), Math.min(8, availableParallelism()));
  try {
    return await triageAhead(source, jobs, 'packet', onProgress);
  } finally {
    await jobs.close();
  }
}
