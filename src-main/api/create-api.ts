import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { ApiParts } from './api-parts.ts';
import { checkedArgument } from './argument-checks.ts';
import { calibrationCalls } from './calls/calibration-calls.ts';
import { captureCalls } from './calls/capture-calls.ts';
import { evidenceCalls } from './calls/evidence-calls.ts';
import { exportCalls } from './calls/export-calls.ts';
import { recordingCalls } from './calls/recording-calls.ts';
import { packetCalls } from './calls/packet-calls.ts';
import { planCalls } from './calls/plan-calls.ts';
import { readingCalls } from './calls/reading-calls.ts';
import { registerCalls } from './calls/register-calls.ts';
import { resultCalls } from './calls/result-calls.ts';
import { sourceCalls } from './calls/source-calls.ts';
import { stateCalls } from './calls/state-calls.ts';
import { verdictCalls } from './calls/verdict-calls.ts';
import { watchCalls } from './calls/watch-calls.ts';
import { photoCalls } from './calls/photo-calls.ts';
import { waterfallCalls } from './calls/waterfall-calls.ts';
import type { About, Api, CallName } from './contract.ts';
import { JobRunner } from './jobs/job-runner.ts';
import { workerScript } from './jobs/worker-script.ts';
import { RecentRegisters } from './recent-registers.ts';
import { Session, type Emit } from './session.ts';
import { WatchedFolders } from './watch/watched-folders.ts';

export interface ApiSettings {
  /** Folder of the program's own: scratch register, list of recent registers. Made where there is none. */
  readonly dataFolder: string;
  /** Folder where new registers are offered. */
  readonly documentsFolder: string;
  readonly host: About['host'];
  readonly appVersion: string;
  readonly emit: Emit;
  /** Who the history says made the changes. */
  readonly who: string;
  readonly now: () => Date;
  /** How often watched folders are looked at; 2000 unless said. */
  readonly watchEveryMs?: number;
}

/** The calls, and the way to end them: closes the register and stops all work. */
export type RunningApi = Api & { readonly close: () => Promise<void> };

/**
 * Everything behind the door. Each call checks its argument first; calls reject with an error that apiProblemOf turns into
 * plain data. A register is always open: the one used last, else the scratch register.
 */
export function createApi(settings: ApiSettings): RunningApi {
  const { dataFolder, documentsFolder, host, appVersion, emit, who, now, watchEveryMs = 2000 } = settings;
  mkdirSync(dataFolder, { recursive: true });
  const recent = new RecentRegisters(join(dataFolder, 'recent.json'));
  const session = new Session({ dataFolder, documentsFolder, recent, emit, who, now });
  const jobs = new JobRunner(workerScript(), 2);
  const about: About = { version: appVersion, host, platform: process.platform, documentsFolder };
  const parts: ApiParts = { session, jobs, about };
  const results = resultCalls(parts);
  const watched = new WatchedFolders(parts, results, watchEveryMs);
  const calls: Api = {
    ...recordingCalls(parts),
    ...calibrationCalls(parts),
    ...exportCalls(parts),
    ...watchCalls(parts, watched),
    ...registerCalls(parts),
    ...captureCalls(parts),
    ...results,
    ...evidenceCalls(parts),
    ...sourceCalls(parts),
    ...stateCalls(parts),
    ...packetCalls(parts),
    ...planCalls(parts),
    ...readingCalls(parts),
    ...verdictCalls(parts),
    ...waterfallCalls(parts),
    ...photoCalls(parts),
  };
  return {
    ...withCheckedArguments(calls),
    async close() {
      watched.close();
      await jobs.close();
      session.close();
    },
  };
}

/** The same calls behind their argument checks; a call that throws at once rejects like any other. */
function withCheckedArguments(calls: Api): Api {
  const checked = Object.entries(calls).map(([name, call]: [string, (argument: never) => Promise<unknown>]) => [
    name,

    async (argument: unknown) => call(checkedArgument(name as CallName, argument) as never),
  ]);
  return Object.fromEntries(checked) as Api;
}
