import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CDPSession, Page } from '@playwright/test';
import { build } from '../../src-main/start/build.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { openBench } from '../window/open-bench.ts';

/** What a performance trace holds of one piece of work; times in microseconds, `tdur` of the processor. */
export interface TraceEvent {
  readonly name: string;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  readonly tdur?: number;
}

export const SCRIPT = [
  'FunctionCall',
  'EvaluateScript',
  'EventDispatch',
  'FireAnimationFrame',
  'RunMicrotasks',
  'TimerFire',
];
export const LAYOUT = ['Layout', 'UpdateLayoutTree', 'RecalculateStyles'];
const PAINT = ['Paint', 'PrePaint', 'Layerize', 'Commit', 'CompositeLayers'];
const FRAME = 'PageAnimator::serviceScriptedAnimations';
const CATEGORIES = 'devtools.timeline,disabled-by-default-devtools.timeline,blink,toplevel,cc,benchmark';
/** Frames in which the page did less than this were no work of it. */
const IDLE_MS = 0.2;

/** Builds the program and opens it at 1920 × 1080 with a folder of its own, which is removed at the end. `startedAt`: once it was built. */
export async function withPage(
  name: string,
  act: (page: Page, folder: string, startedAt: number) => Promise<void>,
): Promise<void> {
  if (findBrowser() === null) throw new Error(HOW_TO_GET_A_BROWSER);
  const problem = await build();
  if (problem !== null) throw new Error(problem);
  const folder = mkdtempSync(join(tmpdir(), `spurledger-${name}-`));
  const startedAt = Date.now();
  const bench = await openBench(folder, { width: 1920, height: 1080 });
  try {
    await act(bench.page, folder, startedAt);
  } finally {
    await bench.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** The browser's own performance trace of what is done meanwhile. */
export async function traceOf(cdp: CDPSession, categories: string, act: () => Promise<void>): Promise<TraceEvent[]> {
  const events: TraceEvent[] = [];
  const gather = ({ value }: { value: object[] }) => void events.push(...(value as TraceEvent[]));
  cdp.on('Tracing.dataCollected', gather);
  await cdp.send('Tracing.start', { transferMode: 'ReportEvents', categories } as never);
  await act();
  const isDone = new Promise((done) => cdp.once('Tracing.tracingComplete', done));
  await cdp.send('Tracing.end');
  await isDone;
  cdp.off('Tracing.dataCollected', gather);
  return events;
}

/** Script and layout in the order of time, the outermost only: events lie within one another. */
export function outermost(events: readonly TraceEvent[], script: readonly string[]): Required<TraceEvent>[] {
  const found: Required<TraceEvent>[] = [];
  let end = 0;
  for (const event of [...events].sort((a, b) => a.ts - b.ts)) {
    const { dur } = event;
    if (dur === undefined || event.ts < end || !(script.includes(event.name) || LAYOUT.includes(event.name))) continue;
    end = event.ts + dur;
    found.push({ ...event, dur, tdur: event.tdur ?? dur });
  }
  return found;
}

/** Milliseconds of script and layout in one frame of the page's thread. */
export interface FrameCost {
  readonly ts: number;
  clock: number;
  processor: number;
}

/** What the frames cost in which the page did something, the processor time of each kind of work, and all painting, in milliseconds. */
export async function framesOf(
  cdp: CDPSession,
  act: () => Promise<void>,
): Promise<{ busy: readonly FrameCost[]; kinds: ReadonlyMap<string, number>; paintMs: number }> {
  const events = await traceOf(cdp, CATEGORIES, act);
  const calls = new Map<number, number>();
  for (const { name, tid } of events) if (name === 'FunctionCall') calls.set(tid, (calls.get(tid) ?? 0) + 1);
  const main = [...calls].sort((a, b) => b[1] - a[1])[0]?.[0];
  const own = events.filter(({ tid, ts }) => tid === main && ts > 0).sort((a, b) => a.ts - b.ts);
  const frames = own.filter(({ name }) => name === FRAME).map(({ ts }): FrameCost => ({ ts, clock: 0, processor: 0 }));
  const kinds = new Map<string, number>();
  let frame = 0;
  for (const { name, ts, dur, tdur } of outermost(own, SCRIPT)) {
    kinds.set(name, (kinds.get(name) ?? 0) + tdur / 1000);
    while (frame < frames.length - 1 && frames[frame + 1]!.ts <= ts) frame++;
    if (frames[frame] === undefined) continue;
    frames[frame]!.clock += dur / 1000;
    frames[frame]!.processor += tdur / 1000;
  }
  const paintMs = own.filter(({ name }) => PAINT.includes(name)).reduce((sum, { dur = 0 }) => sum + dur / 1000, 0);
  return { busy: frames.filter(({ clock }) => clock > IDLE_MS), kinds, paintMs };
}

/** Median, 95th percentile and largest, each of so many characters. */
export function spreadOf(frames: readonly FrameCost[], of: 'clock' | 'processor', width: number): string {
  const sorted = frames.map((one) => one[of]).sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
  return [0.5, 0.95, 1].map((share) => at(share).toFixed(1).padStart(width)).join('');
}
