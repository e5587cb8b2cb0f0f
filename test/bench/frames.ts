/**
 * What a picture costs the page while a large capture is panned and zoomed: 10⁷ points, 10 000 spurs, with sources, bands and channels
 * (`node test/bench/frames.ts`, or with fewer points as its argument; --profile adds where the time goes). Script and layout are taken
 * from the browser's own performance trace, by frame; as time on the clock, and as processor time of the page's thread, which other work
 * on the machine does not lengthen. Printed, never asserted: machines differ.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { CDPSession, Page } from '@playwright/test';
import { build } from '../../src-main/start/build.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { openBench } from '../window/open-bench.ts';
import { writeComb } from './comb-capture.ts';

const points = Number(process.argv.slice(2).find((word) => !word.startsWith('-')) ?? 1e7);
const withProfile = process.argv.includes('--profile');
const LONG_MS = 600_000;

interface TraceEvent {
  readonly name: string;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  readonly tdur?: number;
}

const SCRIPT = ['FunctionCall', 'EvaluateScript', 'EventDispatch', 'FireAnimationFrame', 'RunMicrotasks', 'TimerFire'];
const LAYOUT = ['Layout', 'UpdateLayoutTree', 'RecalculateStyles'];
const PAINT = ['Paint', 'PrePaint', 'Layerize', 'Commit', 'CompositeLayers'];
const FRAME = 'PageAnimator::serviceScriptedAnimations';
const CATEGORIES = 'devtools.timeline,disabled-by-default-devtools.timeline,blink,toplevel,cc,benchmark';

if (findBrowser() === null) throw new Error(HOW_TO_GET_A_BROWSER);
const problem = await build();
if (problem !== null) throw new Error(problem);
const folder = mkdtempSync(join(tmpdir(), 'spurledger-frames-'));
const bench = await openBench(folder, { width: 1920, height: 1080 });
try {
  await measure(bench.page);
} finally {
  await bench.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
}

async function measure(page: Page): Promise<void> {
  await fill(page);
  const cdp = await page.context().newCDPSession(page);
  const box = (await page.locator('.spectrum').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const wheel = async (dx: number, dy: number, times: number): Promise<void> => {
    for (let i = 0; i < times; i++) {
      await page.mouse.wheel(dx, dy);
      await page.waitForTimeout(30);
    }
  };
  const zoom = async () => {
    await wheel(0, -120, 40);
    await wheel(0, 120, 40);
  };
  const pan = async () => {
    await wheel(60, 0, 40);
    await wheel(-60, 0, 40);
  };
  console.log(
    'script and layout of a frame, ms                     frames  median    p95    max   | processor time: median p95 max | paint',
  );
  await traced(cdp, 'zooming from the whole to a millionth and back', zoom);
  await page.keyboard.press('w');
  await traced(cdp, 'panning the whole, as far as it goes', pan);
  await wheel(0, -120, 10);
  await traced(cdp, 'panning a seventh of it', pan);
  await page.keyboard.press('x');
  await page.waitForTimeout(1000);
  await page.keyboard.press('w');
  await traced(cdp, 'zooming on a logarithmic axis', zoom);
  await page.keyboard.press('x');
  await page.keyboard.press('w');
  if (withProfile) {
    await profiled(cdp, 'zooming', zoom);
    await page.keyboard.press('w');
    await wheel(0, -120, 10);
    await profiled(cdp, 'panning', pan);
  }
}

/** Opens the capture and puts sources and bands beside it. */
async function fill(page: Page): Promise<void> {
  const path = join(folder, 'comb.csv');
  writeComb(path, points);
  const table = (name: string, text: string) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) });
  const tab = (name: string) => page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name });
  const end = 1e6 + 100 * points;
  await tab('Plan').click();
  const bands = ['A', 'B', 'C'].map((name, i) => `${name},${end * (0.2 + 0.2 * i)},${end * (0.3 + 0.2 * i)},100000`);
  writeFileSync(join(folder, 'bands.csv'), ['name,low_hz,high_hz,channel_hz', ...bands].join('\n'));
  await page.locator('input[type=file]').first().setInputFiles(join(folder, 'bands.csv'));
  await tab('Sources').click();
  const sources = [50e3, 120e3, 333e3, 1.4e6, 25e6].map((hz, i) => `U${i + 1},converter,${hz},100,ours`);
  await page
    .locator('input[type=file][aria-label="Import"]')
    .setInputFiles(table('sources.csv', ['designator,kind,nominal_hz,tolerance_ppm,owner', ...sources].join('\n')));
  await page.getByRole('row', { name: /U5/ }).waitFor();
  await tab('Bench').click();
  const start = Date.now();
  const chooser = page.waitForEvent('filechooser');
  await page
    .getByRole('button', { name: /Open captures/ })
    .first()
    .click();
  await (await chooser).setFiles(path);
  const plot = page.getByRole('application', { name: /with \d\d+ spurs/ });
  await plot.waitFor({ timeout: LONG_MS });
  await page.getByRole('button', { name: 'Cancel' }).waitFor({ state: 'detached', timeout: LONG_MS });
  await page.waitForTimeout(1500);
  const said = (await plot.getAttribute('aria-label')) ?? '';
  console.log(`${points} points read and triaged after ${((Date.now() - start) / 1000).toFixed(0)} s. ${said}\n`);
}

/** Frame by frame: time in script and layout on the page's main thread while something is done. */
async function traced(cdp: CDPSession, what: string, act: () => Promise<void>): Promise<void> {
  const events: TraceEvent[] = [];
  const gather = ({ value }: { value: object[] }) => void events.push(...(value as TraceEvent[]));
  cdp.on('Tracing.dataCollected', gather);
  await cdp.send('Tracing.start', { transferMode: 'ReportEvents', categories: CATEGORIES } as never);
  await act();
  const isDone = new Promise((done) => cdp.once('Tracing.tracingComplete', done));
  await cdp.send('Tracing.end');
  await isDone;
  cdp.off('Tracing.dataCollected', gather);
  const counted = new Map<number, number>();
  for (const { name, tid } of events) if (name === 'FunctionCall') counted.set(tid, (counted.get(tid) ?? 0) + 1);
  const main = [...counted].sort((a, b) => b[1] - a[1])[0]?.[0];
  const own = events.filter(({ tid, ts }) => tid === main && ts > 0).sort((a, b) => a.ts - b.ts);
  const frames = own.filter(({ name }) => name === FRAME).map(({ ts }) => ({ ts, clock: 0, processor: 0 }));
  const kinds = new Map<string, number>();
  let end = 0;
  let frame = 0;
  for (const event of own) {
    // events lie within one another: the outermost counts
    if (event.dur === undefined || event.ts < end || ![...SCRIPT, ...LAYOUT].includes(event.name)) continue;
    end = event.ts + event.dur;
    kinds.set(event.name, (kinds.get(event.name) ?? 0) + (event.tdur ?? event.dur) / 1000);
    while (frame < frames.length - 1 && frames[frame + 1]!.ts <= event.ts) frame++;
    if (frames[frame] === undefined) continue;
    frames[frame]!.clock += event.dur / 1000;
    frames[frame]!.processor += (event.tdur ?? event.dur) / 1000;
  }
  const busy = frames.filter(({ clock }) => clock > 0.2);
  const paint = own.filter(({ name }) => PAINT.includes(name)).reduce((sum, { dur = 0 }) => sum + dur / 1000, 0);
  const figures = (of: 'clock' | 'processor') => {
    const sorted = busy.map((one) => one[of]).sort((a, b) => a - b);
    const at = (share: number) =>
      (sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0).toFixed(1).padStart(7);
    return `${at(0.5)}${at(0.95)}${at(1)}`;
  };
  console.log(
    `${what.padEnd(50)} ${String(busy.length).padStart(7)}  ${figures('clock')}   | ${figures('processor')} | ${(paint / Math.max(1, busy.length)).toFixed(1)}`,
  );
  if (!withProfile) return;
  const shares = [...kinds].sort((a, b) => b[1] - a[1]).map(([kind, ms]) => `${kind} ${ms.toFixed(0)} ms`);
  console.log(`  of it, processor time: ${shares.join(', ')}`);
}

/** Which functions the time went to, by sampling: of its own, and with what it called. */
async function profiled(cdp: CDPSession, what: string, act: () => Promise<void>): Promise<void> {
  await cdp.send('Profiler.enable');
  await cdp.send('Profiler.setSamplingInterval', { interval: 200 });
  await cdp.send('Profiler.start');
  await act();
  const { profile } = await cdp.send('Profiler.stop');
  const nodes = new Map(profile.nodes.map((node) => [node.id, node]));
  const parents = new Map(profile.nodes.flatMap((node) => (node.children ?? []).map((child) => [child, node.id])));
  const own = new Map<string, number>();
  const all = new Map<string, number>();
  const add = (to: Map<string, number>, name: string, ms: number) => to.set(name, (to.get(name) ?? 0) + ms);
  profile.samples?.forEach((sample, i) => {
    const ms = (profile.timeDeltas?.[i] ?? 0) / 1000;
    const seen = new Set<string>();
    for (let id: number | undefined = sample; id !== undefined; id = parents.get(id)) {
      const { functionName, lineNumber, columnNumber } = nodes.get(id)!.callFrame;
      const name = `${functionName || 'nameless'}:${lineNumber}:${columnNumber}`;
      if (seen.size === 0) add(own, name, ms);
      if (!seen.has(name)) add(all, name, ms);
      seen.add(name);
    }
  });
  const list = (of: Map<string, number>, most: number) =>
    [...of]
      .sort((a, b) => b[1] - a[1])
      .slice(0, most)
      .map(([name, ms]) => `  ${ms.toFixed(0).padStart(6)} ms  ${name}`)
      .join('\n');
  console.log(`\n${what}, own time:\n${list(own, 25)}\n${what}, with what is called:\n${list(all, 45)}`);
}
