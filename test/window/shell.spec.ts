/** What every screen has: files let go over it, notices that can be copied, the menu, the look. */
import { Buffer } from 'node:buffer';
import type { Page } from '@playwright/test';
import { comb, smallCapture } from '../api/small-capture.ts';
import { expect, test } from './fixture.ts';
import { idle, serious, tab, WORK_MS } from './steps.ts';

const SCREENS = ['Bench', 'Sources', 'Fixes', 'Plan', 'Sign-off', 'History'] as const;

/** Files are carried over the middle of the page and let go there. */
async function drop(
  page: Page,
  files: readonly { readonly name: string; readonly bytes: Uint8Array }[],
): Promise<void> {
  const carried = await page.evaluateHandle(
    (all) => {
      const transfer = new DataTransfer();
      for (const { name, text } of all)
        transfer.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name));
      return transfer;
    },
    files.map(({ name, bytes }) => ({ name, text: Buffer.from(bytes).toString('base64') })),
  );
  const target = page.getByRole('dialog').or(page.getByRole('main')).last();
  for (const type of ['dragenter', 'dragover', 'drop']) await target.dispatchEvent(type, { dataTransfer: carried });
}

test('captures are let go over any screen, and over a sheet, and are on the bench', async ({ bench: { page } }) => {
  for (const [i, screen] of SCREENS.entries()) {
    await tab(page, screen).click();
    await expect(tab(page, screen)).toHaveAttribute('aria-current', 'page');
    if (screen === 'Sources') {
      await page.keyboard.press('F1');
      await expect(page.getByRole('dialog')).toBeVisible();
    }
    const name = `over-${screen.toLowerCase()}.csv`;
    await drop(page, [{ name, bytes: smallCapture({ seed: i + 1, points: 1500, lines: comb(303_000, 25, 1500) }) }]);
    await expect(tab(page, 'Bench')).toHaveAttribute('aria-current', 'page');
    await expect(page.getByRole('dialog')).toHaveCount(0);
    await expect(page.getByText(name).first()).toBeVisible({ timeout: WORK_MS });
    await idle(page);
  }
});

test('a notice is copied by its button, and all of them by a key, with all their parts', async ({
  bench: { page },
}) => {
  await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
  const clipboard = () => page.evaluate(() => navigator.clipboard.readText());
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await page.keyboard.press('Control+z');
  const notice = page.getByRole('alert');
  await expect(notice).toBeVisible();
  await notice.getByRole('button', { name: 'Copy' }).click();
  await expect(notice.getByRole('button', { name: 'Copied' })).toBeVisible();
  const copied = await clipboard();
  expect(copied.length).toBeGreaterThan(10);
  await page.evaluate(() => navigator.clipboard.writeText(''));
  await page.keyboard.press('Control+Alt+c');
  await expect.poll(clipboard).toBe(copied);
  await notice.getByRole('button', { name: 'Put away' }).click();
  await expect(notice).toHaveCount(0);
});

test('the same commands stand in the menu of the page, in its search and on the sheet of keys; what cannot be done says when', async ({
  bench: { page, complaints },
}) => {
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await page.keyboard.press('/');
  const menu = page.getByRole('dialog', { name: 'Go to, or do' });
  await expect(menu.getByRole('heading', { level: 2 })).toHaveText(['File', 'Edit', 'View', 'Go', 'Bench', 'Help']);
  const undo = menu.getByRole('button', { name: 'Undo' });
  await expect(undo).toBeDisabled();
  await expect(undo).toHaveAttribute('title', 'when there is a step to take back');
  await expect(menu.getByRole('button', { name: /^Print this screen/ })).toContainText('CtrlP');
  expect(await serious(page)).toEqual([]);
  await page.keyboard.press('Escape');
  await page.keyboard.press('F1');
  await expect(page.getByRole('dialog').getByText('open captures', { exact: true })).toBeVisible();
  await page.keyboard.press('Escape');
  await page.keyboard.press('/');
  await menu.getByRole('button', { name: /^Sign-off/ }).click();
  await expect(tab(page, 'Sign-off')).toHaveAttribute('aria-current', 'page');
  await page.keyboard.press('/');
  await page.keyboard.type('history');
  await page.keyboard.press('Enter');
  await expect(tab(page, 'History')).toHaveAttribute('aria-current', 'page');
  await page.keyboard.press('F1');
  for (const words of ['print this screen', 'this register in a new window', 'undo'])
    await expect(page.getByRole('dialog').getByText(words, { exact: true })).toBeVisible();
  expect(complaints).toEqual([]);
});

test('high contrast is chosen on the sheet of looks, holds on every screen and is printed as ink on white', async ({
  bench: { page },
}) => {
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await page.keyboard.press('d');
  await page.getByRole('group', { name: 'Paper' }).getByRole('radio', { name: 'dark' }).check();
  await page.getByRole('group', { name: 'Contrast' }).getByRole('radio', { name: 'high' }).check();
  await page.keyboard.press('Escape');
  const paper = () => page.evaluate(() => getComputedStyle(document.querySelector('main')!).backgroundColor);
  const dark = await paper();
  for (const screen of SCREENS) {
    await tab(page, screen).click();
    await expect(page.locator('html')).toHaveAttribute('data-contrast', 'high');
    expect(await paper()).toBe(dark);
    expect.soft(await serious(page), screen).toEqual([]);
  }
  await page.emulateMedia({ media: 'print' });
  await expect.poll(paper).toBe('rgb(255, 255, 255)');
  // what is painted on a canvas takes its colours from the look of the page
  await expect(page.locator('html')).toHaveAttribute('data-theme', 'light');
  await page.emulateMedia({ media: 'screen' });
  await expect.poll(paper).toBe(dark);
});

test('read at 200 %, no screen is wider than the window and every tab and act of the head can be brought into sight', async ({
  bench: { page },
}) => {
  // 1280 × 800 at twice the size is as wide as 640 × 400
  await page.setViewportSize({ width: 640, height: 400 });
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  for (const screen of SCREENS) {
    await tab(page, screen).click();
    await expect(tab(page, screen)).toHaveAttribute('aria-current', 'page');
    for (const name of [/^Look/, /^Go to, or do/]) {
      const act = page.getByRole('banner').getByRole('button', { name });
      await act.scrollIntoViewIfNeeded();
      await expect(act, `${screen}: ${name.source}`).toBeInViewport({ ratio: 0.9 });
    }
    expect(await page.evaluate<number>('document.documentElement.scrollWidth'), screen).toBeLessThanOrEqual(640);
  }
});
