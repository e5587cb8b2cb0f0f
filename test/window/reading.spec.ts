import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect, test } from './fixture.ts';

interface Upload {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}
const file = (name: string, text: string): Upload => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
const plain = (name: string, seed: number): Upload =>
  file(
    name,
    `Frequency (Hz),Level (dBm)\n${Array.from({ length: 300 }, (_, i) => `${1e6 + i * 1000},${(-100 + ((i * 7 + seed * 3) % 11) / 4 + seed / 1000).toFixed(3)}`).join('\n')}\n`,
  );
/** Level first, then a frequency in MHz, and no word of either. */
const odd = (day: number): Upload =>
  file(
    `odd-${day}.csv`,
    `taken 2026-03-0${day}\n${Array.from({ length: 200 }, (_, i) => `${(-90 - ((i * 7 + day) % 5)).toFixed(1)},${(1 + i / 10).toFixed(1)}`).join('\n')}\n`,
  );
const levels = file('levels.txt', Array.from({ length: 50 }, (_, i) => `-${80 + (i % 4)}.5`).join('\n'));

const open = (page: Page, files: Upload[]) =>
  page.locator('input[type=file][aria-label="Open captures"]').setInputFiles(files);
const line = (page: Page, name: string) => page.getByRole('dialog').getByRole('listitem').filter({ hasText: name });

async function serious(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(' | ')}`);
}

test('of many files together one list says what became of each, and can be looked through by that', async ({
  bench: { page, complaints },
}) => {
  await open(page, [...Array.from({ length: 40 }, (_, i) => plain(`s${i}.csv`, i)), levels, odd(1)]);
  await expect(page.getByRole('heading', { name: '42 files, 1 refused' })).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('button', { name: 'understood 40' })).toBeVisible();
  await page.getByRole('button', { name: 'refused 1' }).click();
  await expect(page.getByRole('dialog').getByRole('listitem')).toHaveCount(1);
  await expect(line(page, 'levels.txt')).toContainText('levels alone, without frequencies');
  expect(await serious(page)).toEqual([]);
  expect(complaints).toEqual([]);
});

test('a file is read otherwise by hand, and the next of its layout is read so by itself', async ({
  bench: { page, complaints },
}) => {
  await open(page, [odd(1), levels]);
  await line(page, 'odd-1.csv').getByRole('button', { name: 'Read it otherwise' }).click();
  await expect(page.getByRole('heading', { name: 'How odd-1.csv is read' })).toBeVisible();
  await expect(page.getByText('taken 2026-03-01')).toBeVisible();
  await page.getByLabel('Axis in column').fill('2');
  await page.getByLabel('Levels in columns').fill('1');
  await page.getByLabel('Frequencies are in').selectOption('MHz');
  await page.getByLabel('Level unit').fill('dBm');
  await expect(page.getByText('1–20.9 MHz, dBm')).toBeVisible();
  expect(await serious(page)).toEqual([]);
  await page.getByRole('button', { name: 'Read it so' }).click();
  await expect(line(page, 'odd-1.csv')).toContainText('1–20.9 MHz, dBm');

  await page.keyboard.press('Escape');
  await open(page, [odd(2), levels]);
  await expect(line(page, 'odd-2.csv')).toContainText('1–20.9 MHz, dBm');
  await expect(line(page, 'odd-2.csv')).toContainText('corrections that you made for an earlier file');
  expect(complaints).toEqual([]);
});

test('a refused file is understood with one word from the user', async ({ bench: { page } }) => {
  await open(page, [levels]);
  await line(page, 'levels.txt').getByRole('button', { name: 'Read it otherwise' }).click();
  await expect(page.getByText('So nothing is understood of it.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Read it so' })).toBeDisabled();
  await page.getByLabel('First frequency, Hz').fill('1e6');
  await expect(page.getByText('first frequency and step go together')).toBeVisible();
  await page.getByLabel('Step, Hz').fill('2000');
  await page.getByLabel('Level unit').fill('dBm');
  await expect(page.getByText('1–1.098 MHz, dBm')).toBeVisible();
  await page.getByRole('button', { name: 'Read it so' }).click();
  await expect(line(page, 'levels.txt')).toContainText('understood');
});

test('the sweeps of one file are shown as rows over time', async ({ bench: { page, complaints } }) => {
  const sweeps = Array.from(
    { length: 50 },
    (_, s) =>
      `2026-03-01, 10:00:${String(s).padStart(2, '0')}, 1000000, 1100000, 1000, 1, ${Array.from({ length: 100 }, (_, i) => (i === 30 + (s % 5) ? -40 : -90 - ((i * s) % 7))).join(', ')}`,
  ).join('\n');
  await open(page, [file('sweeps.csv', `${sweeps}\n`)]);
  await page.keyboard.press('i');
  await page.getByRole('button', { name: 'Its rows over time' }).click();
  await expect(page.getByText('50 spectra one after another')).toBeVisible({ timeout: 30_000 });
  await expect(page.getByRole('img', { name: /^50 spectra from 0\.00 s to 49\.00 s/ })).toBeVisible();
  expect(await serious(page)).toEqual([]);
  expect(complaints).toEqual([]);
});
