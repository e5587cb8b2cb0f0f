import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect, test } from './fixture.ts';

const SOURCES = {
  name: 'sources.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from(
    'designator,kind,nominal_hz,tolerance_ppm,max_harmonic,adjust_low_hz,adjust_high_hz,adjust_step_hz\n' +
      'XO,clock,8192000,20,1,,,\nA,converter,310000,20000,,250000,400000,1000\nB,converter,430000,20000,,400000,500000,1000\n',
  ),
};
const BANDS = {
  name: 'bands.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from('name,low_hz,high_hz,channel_hz\nlow,2000000,6000000,20000\n'),
};
const tab = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name: new RegExp(`^${name}`) });
const idle = (page: Page) => expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: 60_000 });

async function serious(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(' | ')}`);
}

test('a plan is found, moved by hand, kept as a planned state and taken back, by keyboard', async ({ bench }) => {
  test.setTimeout(120_000);
  const { page, complaints } = bench;
  await tab(page, 'Plan').click();
  await expect(page.getByRole('heading', { name: 'Nothing is there to protect yet' })).toBeVisible();
  await page.locator('input[type=file][aria-label="Import bands"]').setInputFiles(BANDS);
  await expect(page.getByRole('heading', { name: 'Nothing that switches is entered yet' })).toBeVisible();
  await tab(page, 'Sources').click();
  await page.locator('input[type=file][aria-label="Import"]').setInputFiles(SOURCES);
  await expect(page.getByText('locked to').or(page.getByText('XO')).first()).toBeVisible();
  await tab(page, 'Plan').click();

  const sentence = page.getByRole('heading', { level: 1 });
  await expect(sentence).toContainText(/may be lost instead of \d+/, { timeout: 30_000 });
  await idle(page);
  await expect(page.getByRole('region', { name: 'Plans found' })).toContainText('proven');
  expect(await serious(page)).toEqual([]);

  await page.keyboard.press('r');
  await expect(sentence).toHaveText(/^Today \d+ of 200 channels may be lost\.$/);
  await page.keyboard.press('ArrowRight');
  await expect(sentence).toContainText('Set A to 311 kHz');
  await page.keyboard.press('ArrowUp');
  await expect(sentence).toContainText('set B to 431 kHz');
  await page.keyboard.press('Backspace');
  await expect(sentence).not.toContainText('431');
  await page.keyboard.press('l');
  await expect(sentence).toContainText('ock A to XO');
  await page.keyboard.press('n');
  await expect(sentence).toContainText('instead of');

  await page.keyboard.press('a');
  const sheet = page.getByRole('dialog', { name: 'Keep this plan' });
  await expect(sheet.getByLabel('Its name')).toHaveValue('S0');
  expect(await serious(page)).toEqual([]);
  await sheet.getByLabel('What it does').press('Enter');
  await expect(sheet).toHaveCount(0);
  await expect(page.getByRole('region', { name: 'Kept plans' })).toContainText('planned as S0');
  await page.keyboard.press('Control+z');
  await expect(page.getByRole('region', { name: 'Kept plans' })).toContainText('None yet');
  expect(complaints).toEqual([]);
});

test('nothing on the plan screen is hard to read in the dark', async ({ bench: { page } }) => {
  test.setTimeout(90_000);
  await page.emulateMedia({ colorScheme: 'dark' });
  await tab(page, 'Plan').click();
  await page.locator('input[type=file][aria-label="Import bands"]').setInputFiles(BANDS);
  await tab(page, 'Sources').click();
  await page.locator('input[type=file][aria-label="Import"]').setInputFiles(SOURCES);
  await tab(page, 'Plan').click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('may be lost', { timeout: 30_000 });
  await idle(page);
  expect(await serious(page)).toEqual([]);
});
