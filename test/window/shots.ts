/** Takes the README's pictures from the invented demonstration: each screen, light and dark, at two sizes (npm run shots). */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, type Page } from '@playwright/test';
import { build } from '../../src-main/start/build.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { openBench } from './open-bench.ts';

const OUT = join(import.meta.dirname, '..', '..', 'src-renderer', 'shots');
const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
];
const WORK_MS = 120_000;

const tab = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name: new RegExp(`^${name}`) });

/** Nothing is being computed. */
async function idle(page: Page): Promise<void> {
  await expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: WORK_MS });
}

/** How each screen is brought to what is worth a picture. */
const SCREENS: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  async bench(page) {
    await tab(page, 'Bench').click();
    await expect(page.getByRole('application', { name: /^Spectrum from/ })).toBeVisible({ timeout: WORK_MS });
    await idle(page);
    await page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(3).click();
    await page.keyboard.press('1'); // the lowest band: near enough to tell one comb from the next
  },
  async sources(page) {
    await tab(page, 'Sources').click();
    await idle(page);
  },
  async plan(page) {
    await tab(page, 'Plan').click();
    await expect(page.getByRole('heading', { level: 1 })).toContainText('may be lost', { timeout: WORK_MS });
    await idle(page);
  },
  async fixes(page) {
    await tab(page, 'Fixes').click();
    await page.getByRole('button', { name: /^S2/ }).first().click();
    const compare = page.getByRole('button', { name: 'Compare' });
    if (await compare.isVisible()) await compare.click();
    await idle(page);
    await expect(page.getByRole('grid', { name: 'Tracks' })).toBeVisible({ timeout: WORK_MS });
  },
  async states(page) {
    await tab(page, 'Fixes').click();
    await page.keyboard.press('t');
    await idle(page);
    await expect(page.getByRole('grid').first()).toBeVisible({ timeout: WORK_MS });
    await page.waitForTimeout(1000);
  },
  async signoff(page) {
    await tab(page, 'Sign-off').click();
    await expect(page.getByRole('heading', { level: 1 })).toContainText('The build', { timeout: WORK_MS });
    await idle(page);
  },
};

if (findBrowser() === null) throw new Error(HOW_TO_GET_A_BROWSER);
const problem = await build();
if (problem !== null) throw new Error(problem);
mkdirSync(OUT, { recursive: true });
for (const { width, height } of SIZES)
  for (const colorScheme of ['light', 'dark'] as const) {
    const folder = mkdtempSync(join(tmpdir(), 'spurledger-shots-'));
    const bench = await openBench(folder, { width, height, colorScheme });
    try {
      await bench.page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
      for (const [screen, prepare] of Object.entries(SCREENS)) {
        await prepare(bench.page);
        await bench.page.mouse.move(0, 0);
        await bench.page.waitForTimeout(500); // what moves has come to rest
        const path = join(OUT, `${screen}-${colorScheme}-${width}.png`);
        await bench.page.screenshot({ path, animations: 'disabled' });
        console.log(path);
      }
    } finally {
      await bench.close();
      rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    }
  }
