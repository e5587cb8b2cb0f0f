/**
 * What a picture costs the page while a large capture is panned and zoomed: 10⁷ points, 10 000 spurs, with sources, bands and channels
 * (`node test/bench/frames.ts`, or with fewer points as its argument; --profile adds where the time goes). Script and layout are taken
 * from the browser's own performance trace, by frame; as time on the clock, and as processor time of the page's thread, which other work
 * on the machine does not lengthen. Printed, never asserted: machines differ.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { CDPSession, Page } from '@playwright/test';
import { writeComb } from './comb-capture.ts';
import { framesOf, spreadOf, withPage } from './page-trace.ts';

const points = Number(process.argv.slice(2).find((word) => !word.startsWith('-')) ?? 1e7);
const withProfile = process.argv.includes('--profile');
const LONG_MS = 600_000;

await withPage('frames', measure);

async function measure(page: Page, folder: string): Promise<void> {
  await fill(page, folder);
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
async function fill(page: Page, folder: string): Promise<void> {
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
  const { busy, kinds, paintMs } = await framesOf(cdp, act);
  console.log(
    `${what.padEnd(50)} ${String(busy.length).padStart(7)}  ${spreadOf(busy, 'clock', 7)}   | ${spreadOf(busy, 'processor', 7)} | ${(paintMs / Math.max(1, busy.length)).toFixed(1)}`,
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
