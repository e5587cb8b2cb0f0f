/**
 * Takes pictures of every screen and sheet from the invented demonstration, in every theme and size, and tells what of their text cannot be
 * read (npm run shots). The README's own go to src-renderer/shots, all others to test-results/shots. Ends with a status of 1 where
 * something is cut, overlaps or lies outside the window. Names given pick rounds: `npm run shots -- light-1280`.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, type Page } from '@playwright/test';
import { build } from '../../src-main/start/build.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { unreadable } from './layout-check.ts';
import { openBench } from './open-bench.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const README_SHOTS = join(ROOT, 'src-renderer', 'shots');
const OTHER_SHOTS = join(ROOT, 'test-results', 'shots');
const WORK_MS = 120_000;

interface Round {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly colorScheme: 'light' | 'dark';
  readonly contrast?: 'more';
  readonly zoom?: number;
  readonly isPrint?: boolean;
  /** The README shows this one. */
  readonly isShown?: boolean;
}
const THEMES = ['light', 'dark'] as const;
const ROUNDS: readonly Round[] = [
  ...[
    { width: 1280, height: 800 },
    { width: 1920, height: 1080 },
  ].flatMap((size) =>
    THEMES.map((colorScheme) => ({ ...size, name: `${colorScheme}-${size.width}`, colorScheme, isShown: true })),
  ),
  ...THEMES.map((colorScheme) => ({ name: `${colorScheme}-3840`, width: 3840, height: 2160, colorScheme })),
  ...THEMES.map((colorScheme) => ({
    name: `${colorScheme}-high-contrast-1920`,
    width: 1920,
    height: 1080,
    colorScheme,
    contrast: 'more' as const,
  })),
  { name: 'light-200-percent', width: 1920, height: 1080, colorScheme: 'light', zoom: 2 },
  { name: 'dark-200-percent', width: 2560, height: 1600, colorScheme: 'dark', zoom: 2 },
  { name: 'print-1280', width: 1280, height: 800, colorScheme: 'light', isPrint: true },
];

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

/** A sheet over the screen it belongs to, opened by its key. */
const sheet = (screen: string, key: string) => async (page: Page) => {
  await tab(page, screen).click();
  await idle(page);
  await page.keyboard.press(key);
  await expect(page.getByRole('dialog')).toBeVisible();
  await idle(page);
};

/** What the README does not show. */
const MORE: Readonly<Record<string, (page: Page) => Promise<void>>> = {
  async overlay(page) {
    await tab(page, 'Bench').click();
    await page.keyboard.press('c');
    for (const file of ['s0-as-built-2.csv', 's3-shield-can.csv'])
      await page.getByRole('row', { name: file }).getByRole('button', { name: 'Lay over' }).click();
    await page.keyboard.press('Escape');
    await page.getByLabel('All of them together').selectOption('largest');
    await page.keyboard.press('x');
  },
  async rows(page) {
    await tab(page, 'Bench').click();
    await page.getByRole('button', { name: 'take all off' }).click();
    await page.keyboard.press('x');
    await page.keyboard.press('t');
    await expect(page.getByRole('list', { name: 'Captures as rows over frequency' })).toBeVisible();
    await page.waitForTimeout(1500);
  },
  async guess(page) {
    await tab(page, 'Bench').click();
    await page.keyboard.press('t');
    await page.keyboard.press('u');
    await page.waitForTimeout(800);
  },
  async picked(page) {
    await tab(page, 'Bench').click();
    await page.keyboard.press('Escape');
    await page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(2).click();
    for (let i = 0; i < 4; i++) await page.keyboard.press('Shift+ArrowDown');
  },
  async history(page) {
    await tab(page, 'History').click();
    await idle(page);
  },
  'sheet-captures': sheet('Bench', 'c'),
  'sheet-facts': sheet('Bench', 'i'),
  'sheet-condition': sheet('Bench', 'k'),
  'sheet-look': sheet('Bench', 'd'),
  'sheet-go-to': sheet('Bench', '/'),
  'sheet-marks': sheet('Bench', 'F1'),
};

/** A round's pictures; gives what could not be read. */
async function take(round: Round): Promise<readonly string[]> {
  const found: string[] = [];
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-shots-'));
  const bench = await openBench(folder, round);
  const { page } = bench;
  try {
    await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
    for (const [screen, prepare] of Object.entries({ ...SCREENS, ...MORE })) {
      try {
        await prepare(page);
      } catch (problem) {
        found.push(`${screen}-${round.name}: could not be reached: ${String(problem).split('\n')[0]}`);
        continue;
      }
      await page.mouse.move(0, 0);
      if (round.isPrint === true) await page.emulateMedia({ media: 'print' });
      await page.waitForTimeout(500); // what moves has come to rest
      const into = round.isShown === true && screen in SCREENS ? README_SHOTS : OTHER_SHOTS;
      const path = join(into, `${screen}-${round.name}.png`);
      await page.screenshot({ path, animations: 'disabled' });
      console.log(path);
      found.push(...(await unreadable(page)).map((finding) => `${screen}-${round.name}: ${finding}`));
      if (round.isPrint === true) await page.emulateMedia({ media: 'screen' });
      if ((await page.getByRole('dialog').count()) > 0) await page.keyboard.press('Escape');
    }
  } finally {
    await bench.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
  return found;
}

if (findBrowser() === null) throw new Error(HOW_TO_GET_A_BROWSER);
const problem = await build();
if (problem !== null) throw new Error(problem);
for (const folder of [README_SHOTS, OTHER_SHOTS]) mkdirSync(folder, { recursive: true });
const wanted = process.argv.slice(2);
const findings: string[] = [];
for (const round of ROUNDS)
  if (wanted.length === 0 || wanted.includes(round.name)) findings.push(...(await take(round)));
for (const finding of findings) console.log(finding);
console.log(`${findings.length} places of text that cannot be read`);
if (findings.length > 0) process.exitCode = 1;
