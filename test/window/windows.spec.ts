/** Several windows on one program: other registers, the same register, and coming back to where one was. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { expect, test } from './fixture.ts';
import { openBench } from './open-bench.ts';
import { idle, openDemo, spurs, tab, WORK_MS } from './steps.ts';

const title = (page: Page) => page.getByRole('banner').getByRole('button').first();
const stateOf = (page: Page) => page.getByRole('combobox', { name: 'build state' });

/** What a click opens beside this window. */
async function beside(page: Page, act: () => Promise<void>): Promise<Page> {
  const [opened] = await Promise.all([page.context().waitForEvent('page'), act()]);
  return opened;
}

async function newRegister(page: Page, name: string): Promise<void> {
  await page.keyboard.press('g');
  await page.getByLabel('Title of the build').fill(name);
  await page.getByRole('button', { name: 'Make a new register' }).click();
  await expect(title(page)).toHaveText(name);
}

test('two tabs work on two registers; each comes back to its own when it is loaded anew', async ({
  bench: { page },
}) => {
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await newRegister(page, 'Left');
  await page.keyboard.press('g');
  const other = await beside(page, () => page.getByRole('button', { name: 'This register in a new window' }).click());
  await expect(title(other)).toHaveText('Left');
  await newRegister(other, 'Right');
  await expect(title(page)).toHaveText('Left');
  expect(new URL(other.url()).search).not.toBe(new URL(page.url()).search);
  expect(page.url(), 'the address says nothing of the file').not.toContain('left');
  await Promise.all([page.reload(), other.reload()]);
  await expect(title(page)).toHaveText('Left');
  await expect(title(other)).toHaveText('Right');
  // a register from the list, in a window of its own
  await page.keyboard.press('g');
  const row = page.getByRole('listitem').filter({ hasText: 'Right' }).first();
  const third = await beside(page, () => row.getByRole('button', { name: 'in a new window' }).click());
  await expect(title(third)).toHaveText('Right');
  await expect(title(page)).toHaveText('Left');
  // an address that was made up leads to a register that is there, not to an error
  await third.goto(`${new URL(third.url()).origin}/?register=../../nothing`);
  await expect(title(third)).toHaveText(/Left|Right/);
});

test('two tabs on one register see each other’s changes without being loaded anew, and undo goes across both', async ({
  bench: { page },
}) => {
  await openDemo(page);
  await page.keyboard.press('Escape');
  const other = await beside(page, () => page.keyboard.press('Control+Alt+n'));
  await expect(spurs(other)).toBeVisible({ timeout: WORK_MS });
  const before = await stateOf(page).inputValue();
  expect(before).not.toBe('');
  await stateOf(page).selectOption('');
  await page.keyboard.press('Enter');
  await expect(stateOf(other)).toHaveValue('');
  await idle(other);
  await other.bringToFront();
  await spurs(other).focus();
  await other.keyboard.press('Control+z');
  await expect(stateOf(other)).toHaveValue(before);
  await expect(stateOf(page)).toHaveValue(before);
});

test('screen, capture, view, order and filter are there again after a reload, and after the program and the browser ended', async () => {
  test.skip(findBrowser() === null, HOW_TO_GET_A_BROWSER);
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-place-'));
  const view = (page: Page) => page.getByRole('application', { name: /^Spectrum from/ }).getAttribute('aria-label');
  const check = async (page: Page, was: string | null) => {
    await expect(title(page)).toHaveText('Wren');
    await expect(spurs(page).getByRole('columnheader', { name: /level/i })).toHaveAttribute('aria-sort', 'descending');
    await expect(
      page
        .getByRole('searchbox')
        .or(page.getByPlaceholder(/filter/i))
        .first(),
    ).toHaveValue('A');
    await expect.poll(() => view(page)).toBe(was);
  };
  const first = await openBench(folder);
  let was: string | null;
  try {
    const { page } = first;
    await openDemo(page);
    await page.keyboard.press('1');
    await spurs(page).getByRole('columnheader', { name: /level/i }).getByRole('button').first().click();
    await page.keyboard.press('f');
    await page.keyboard.type('A');
    await page.keyboard.press('Tab'); // Escape would empty the field
    await page.waitForTimeout(300); // the view has come to rest
    was = await view(page);
    await page.reload();
    await check(page, was);
    await page.keyboard.press('d');
    await page.getByRole('radio', { name: 'dark' }).check();
    await page.keyboard.press('Escape');
    await tab(page, 'Plan').click();
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
    await page.waitForTimeout(800); // kept a moment after
  } finally {
    await first.close();
  }
  const again = await openBench(folder);
  try {
    const { page } = again;
    await expect(tab(page, 'Plan')).toHaveAttribute('aria-current', 'page');
    await expect(page.locator('html')).toHaveAttribute('data-theme', 'dark');
    await tab(page, 'Bench').click();
    await check(page, was);
  } finally {
    await again.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
});
