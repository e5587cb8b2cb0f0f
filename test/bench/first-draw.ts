/**
 * What the first picture costs (`node test/bench/first-draw.ts [repeats] [points]`; with points a capture of so many lies on the bench): from the start of the navigation
 * to the first painted frame that shows the demonstration register. The program runs already and the register is open; its own start is told
 * apart. Script and layout of the page's thread are taken from the browser's own performance trace, as time on the clock and as processor
 * time, which other work on the machine does not lengthen. Printed, never asserted: machines differ. To be had: 300 ms.
 */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { writeComb } from './comb-capture.ts';
import { LAYOUT, outermost, SCRIPT, traceOf, withPage } from './page-trace.ts';

const repeats = Number(process.argv[2] ?? 9);
const points = Number(process.argv[3] ?? 0);
const LONG_MS = 300_000;
/** Loading a page is script too. */
const LOADING = [
  ...SCRIPT,
  'v8.evaluateModule',
  'v8.compile',
  'v8.compileModule',
  'V8.FinalizeDeserialization',
  'ParseHTML',
  'ParseAuthorStyleSheet',
];
const CATEGORIES =
  'devtools.timeline,disabled-by-default-devtools.timeline,disabled-by-default-v8.compile,v8,blink,blink.user_timing,loading';
/** When the plot carries its trace, and when spurs and list are there too. */
const MOMENTS = { trace: 'first draw: trace', spurs: 'first draw: spurs' } as const;

/** Runs in the page. A mark is set in the frame after the one that holds the picture, so that the picture was painted. */
const MARKING = `
  const seen = new Set();
  const look = () => {
    if (seen.has('trace') && !seen.has('trace marked')) performance.mark('${MOMENTS.trace}'), seen.add('trace marked');
    if (seen.has('spurs')) return performance.mark('${MOMENTS.spurs}');
    const plot = document.querySelector('[role=application][aria-label^="Spectrum from"]');
    if (plot !== null) seen.add('trace');
    const list = document.querySelector('[role=grid][aria-label="Spurs"] [role=row][aria-selected]');
    if (list !== null && / with \\d+ spurs?/.test(plot?.getAttribute('aria-label') ?? '')) seen.add('spurs');
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
`;

interface Cost {
  readonly clockMs: number;
  readonly scriptMs: number;
  readonly layoutMs: number;
  readonly processorMs: number;
}

await withPage('first', measure);

async function measure(first: Page, folder: string, startedAt: number): Promise<void> {
  await first.getByRole('button', { name: 'Open captures' }).first().waitFor();
  console.log(`program and browser are up after ${Date.now() - startedAt} ms (not counted below)\n`);
  await first.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await first.getByRole('grid', { name: 'Spurs' }).waitFor({ timeout: 120_000 });
  await first.getByRole('button', { name: 'Cancel' }).waitFor({ state: 'detached', timeout: 120_000 });
  if (points > 0) await putOnBench(first, folder);
  const costs: Record<keyof typeof MOMENTS, Cost[]> = { trace: [], spurs: [] };
  const address = first.url();
  for (let i = 0; i <= repeats; i++) {
    const page = await first.context().newPage();
    const one = await firstDraw(page, address);
    await page.close();
    // the first one is the browser's own warming up
    if (i > 0) for (const moment of ['trace', 'spurs'] as const) costs[moment].push(one[moment]);
  }
  console.log(`median (worst) of ${repeats}, ms          on the clock   script   layout   both   both, processor time`);
  for (const [moment, words] of [
    ['trace', 'first frame with the trace'],
    ['spurs', 'with its spurs and their list'],
  ] as const) {
    const of = (value: (cost: Cost) => number) => spread(costs[moment].map(value));
    console.log(
      `${words.padEnd(34)} ${of((c) => c.clockMs)} ${of((c) => c.scriptMs)} ${of((c) => c.layoutMs)} ${of((c) => c.scriptMs + c.layoutMs)} ${of((c) => c.processorMs)}`,
    );
  }
}

/** A capture of so many points, with a line in every thousandth, in place of the demonstration's. */
async function putOnBench(page: Page, folder: string): Promise<void> {
  const path = join(folder, 'comb.csv');
  writeComb(path, points);
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Open captures' }).first().click();
  await (await chooser).setFiles(path);
  await page
    .getByRole('application', { name: new RegExp(`with ${Math.floor(points / 1000)} spurs`) })
    .waitFor({ timeout: LONG_MS });
  await page.getByRole('button', { name: 'Cancel' }).waitFor({ state: 'detached', timeout: LONG_MS });
  await page.waitForTimeout(3000); // where the page is is kept once it has come to rest
  rmSync(path);
}

/** Loads the page anew under the browser's trace and tells what each moment had cost until then. */
async function firstDraw(page: Page, address: string): Promise<Record<keyof typeof MOMENTS, Cost>> {
  await page.addInitScript(MARKING);
  const cdp = await page.context().newCDPSession(page);
  const events = await traceOf(cdp, CATEGORIES, async () => {
    await page.goto(address);
    await page.waitForFunction((name) => performance.getEntriesByName(name).length > 0, MOMENTS.spurs, {
      timeout: 60_000,
    });
  });
  const sinceNavigationMs = await page.evaluate(
    (name) => performance.getEntriesByName(name)[0]!.startTime,
    MOMENTS.spurs,
  );
  const markOf = (name: string) => events.find((event) => event.name === name);
  const main = markOf(MOMENTS.spurs)!.tid;
  // the page counts its own time from the start of the navigation; the trace begins before that
  const navigation = markOf(MOMENTS.spurs)!.ts - 1000 * sinceNavigationMs;
  const cost = (until: number): Cost => {
    const sums = { script: 0, layout: 0, processor: 0 };
    const own = events.filter(({ tid, ts }) => tid === main && ts >= navigation && ts < until);
    for (const { name, dur, tdur } of outermost(own, LOADING)) {
      sums[LAYOUT.includes(name) ? 'layout' : 'script'] += dur / 1000;
      sums.processor += tdur / 1000;
    }
    return {
      clockMs: (until - navigation) / 1000,
      scriptMs: sums.script,
      layoutMs: sums.layout,
      processorMs: sums.processor,
    };
  };
  return { trace: cost(markOf(MOMENTS.trace)!.ts), spurs: cost(markOf(MOMENTS.spurs)!.ts) };
}

function spread(values: readonly number[]): string {
  const sorted = values.toSorted((a, b) => a - b);
  return `${sorted[Math.floor(sorted.length / 2)]!.toFixed(0)} (${sorted.at(-1)!.toFixed(0)})`.padStart(12);
}
