import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { ApiParts } from './api-parts.ts';
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
import type { About, Api } from './contract.ts';
import { makeDemo } from './demo/make-demo.ts';
import { EventHub, openDoor, type Doors } from './door.ts';
import { JobRunner } from './jobs/job-runner.ts';
import { workerScript } from './jobs/worker-script.ts';
import { KeptPages } from './kept-pages.ts';
import { OpenRegister, type RegisterApi } from './open-register.ts';
import { OpenRegisters } from './open-registers.ts';
import { PageWindow } from './page-window.ts';
import { RecentRegisters } from './recent-registers.ts';
import { Session, type Emit, type OpenedRegister } from './session.ts';
import { WatchedFolders } from './watch/watched-folders.ts';

export interface ApiSettings {
  /** Folder of the program's own: scratch register, list of recent registers. Made where there is none. */
  readonly dataFolder: string;
  /** Folder where new registers are offered. */
  readonly documentsFolder: string;
  readonly host: About['host'];
  readonly appVersion: string;
  /** Who the history says made the changes. */
  readonly who: string;
  readonly now: () => Date;
  /** How often watched folders are looked at; 2000 unless said. */
  readonly watchEveryMs?: number;
  /** How long a register stays open after its last window is gone; 15 000 unless said. */
  readonly graceMs?: number;
}

/** Doors for any number of windows, and the way to end all of them: closes the registers and stops all work. */
export type RunningWindows = Doors & {
  readonly close: () => Promise<void>;
  /** Number of registers open now. */
  readonly registers: () => number;
};

/** The calls of one window, and the way to end them. */
export type RunningApi = Api & { readonly close: () => Promise<void> };

/**
 * Everything behind the doors. Each call checks its argument first; calls reject with an error that apiProblemOf turns into plain data.
 * A window always shows a register: the one its address names, else the one used last, else the scratch register.
 */
export function createWindows(settings: ApiSettings): RunningWindows {
  const { registers, pages } = createPool(settings);
  return {
    open(key) {
      const window = new PageWindow(registers, pages, key);
      return {
        ...openDoor(window.api, window.hub),
        register: () => window.register,
        shut: () => window.close(),
      };
    },
    keyOf(path) {
      try {
        return registers.look(path);
      } catch {
        return null;
      }
    },
    registers: () => registers.size,
    close: () => registers.close(),
  };
}

/** One window and nothing else: for tests and scripts. */
export function createApi(settings: ApiSettings & { readonly emit: Emit }): RunningApi {
  const { registers, pages } = createPool(settings);
  const window = new PageWindow(registers, pages, null);
  window.hub.listen(settings.emit);
  return { ...window.api, close: () => registers.close() };
}

function createPool(settings: ApiSettings): { registers: OpenRegisters; pages: KeptPages } {
  const { dataFolder, documentsFolder, who, now, graceMs = 15_000 } = settings;
  mkdirSync(dataFolder, { recursive: true });
  const recent = new RecentRegisters(join(dataFolder, 'recent.json'));
  const pages = new KeptPages(join(dataFolder, 'pages.json'));
  const pool = { dataFolder, documentsFolder, recent, who, now, graceMs };
  return { pages, registers: new OpenRegisters(pool, (opened) => openedRegister(settings, recent, opened)) };
}

/** A register just opened, with its calls, workers and watch. */
function openedRegister(settings: ApiSettings, recent: RecentRegisters, opened: OpenedRegister): OpenRegister {
  const { dataFolder, documentsFolder, host, appVersion, who, now, watchEveryMs = 2000 } = settings;
  const hub = new EventHub();
  const session = new Session({ dataFolder, documentsFolder, recent, emit: hub.emit, who, now }, opened);
  const jobs = new JobRunner(workerScript(), 2);
  const about: About = { version: appVersion, host, platform: process.platform, documentsFolder };
  const parts: ApiParts = { session, jobs, about };
  const results = resultCalls(parts);
  const watched = new WatchedFolders(parts, results, watchEveryMs);
  const calls: RegisterApi = {
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
  return new OpenRegister({
    session,
    jobs,
    calls,
    hub,
    stopWatching: () => watched.close(),
    makeDemo: () => makeDemo(parts),
  });
}
