/** What several specs do in the window, in the words of one who works there. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import AxeBuilder from '@axe-core/playwright';
import type { Locator, Page } from '@playwright/test';
import { expect } from './fixture.ts';

export interface Upload {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}

/** Triage, judging and verifying, on a machine that does other things too. */
export const WORK_MS = 120_000;

export const tab = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name: new RegExp(`^${name}`) });
export const slip = (page: Page) => page.getByRole('complementary', { name: 'The chosen spur' });
export const spurs = (page: Page) => page.getByRole('grid', { name: 'Spurs' });

/** Nothing is being computed. */
export const idle = (page: Page) =>
  expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: WORK_MS });

/** A file of the invented demonstration, as it would be chosen from a folder. */
export function wren(path: string): Upload {
  const file = join(import.meta.dirname, '..', '..', 'sample-captures', 'wren', path);
  return { name: path.split('/').at(-1)!, mimeType: 'text/csv', buffer: readFileSync(file) };
}

export async function openDemo(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await expect(spurs(page)).toBeVisible({ timeout: WORK_MS });
  await idle(page);
}

/** Serious and critical findings of axe on what is shown now. */
export async function serious(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(' | ')}`);
}

/** Tab until the focus is there, as one without a pointer does. */
export async function tabTo(page: Page, goal: Locator, key: 'Tab' | 'Shift+Tab' = 'Tab'): Promise<void> {
  await expect(goal).toBeVisible();
  for (let i = 0; i < 120; i++) {
    if (await goal.evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press(key);
  }
  throw new Error(`no number of tabs leads to ${goal.toString()}`);
}

/** Tabs to a field and types what stands there afterwards. */
export async function typeInto(page: Page, field: Locator, text: string): Promise<void> {
  await tabTo(page, field);
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
}

/** Tabs to a button and presses it. */
export async function pressButton(page: Page, button: Locator): Promise<void> {
  await tabTo(page, button);
  await page.keyboard.press('Enter');
}

/** The dialog of the platform that a key opens, answered with these files. */
export async function filesByKey(page: Page, key: string, files: Upload[]): Promise<void> {
  const opened = page.waitForEvent('filechooser');
  // the browser is told to hand the dialog over before the key is pressed
  await page.evaluate(() => undefined);
  await page.keyboard.press(key);
  const chooser = await opened;
  await chooser.setFiles(files);
}
