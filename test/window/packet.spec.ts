import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect, test } from './fixture.ts';

const WORK_MS = 120_000;

/** The page of a packet from disk, with the network off: it asks for nothing else, zooms, and axe finds no barrier. */
async function opensFromDisk(window: Page, file: string): Promise<void> {
  const context = await window.context().browser()!.newContext({ offline: true });
  const page = await context.newPage();
  const [complaints, requests]: [string[], string[]] = [[], []];
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('request', (request) => requests.push(request.url()));
  const address = pathToFileURL(file).href;
  await page.goto(address);
  await expect(page.getByRole('heading', { level: 1 })).toContainText('state S5');
  await expect(page.getByRole('heading', { name: 'What this packet does not show' })).toBeVisible();
  // names and notes stand as text
  await expect(page.getByText('<b>for</b> the "review"')).toBeVisible();
  expect(await page.locator('b').count()).toBe(0);

  const figure = page.locator('figure').nth(2);
  const viewBox = () => figure.locator('svg').getAttribute('viewBox');
  const whole = await viewBox();
  await figure.getByRole('button', { name: 'Closer' }).click();
  expect(await viewBox()).not.toBe(whole);
  await figure.locator('.frame').focus();
  await page.keyboard.press('0');
  expect(await viewBox()).toBe(whole);

  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 120)}`)).toEqual([]);
  expect(complaints).toEqual([]);
  expect(requests).toEqual([address]);
  await context.close();
}

test('a state is frozen, its packet written and computed again, a re-check opened and a review held', async ({
  bench,
}) => {
  test.setTimeout(240_000);
  const { page, complaints } = bench;
  const serious = async (where: string) => {
    const { violations } = await new AxeBuilder({ page }).analyze();
    const found = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
    expect(found.map(({ id, nodes }) => `${where}, ${id}: ${nodes[0]?.html.slice(0, 140)}`)).toEqual([]);
  };
  const shot = async (name: string) => {
    const folder = process.env['SPURLEDGER_PACKET_SHOTS'];
    if (folder !== undefined) await page.screenshot({ path: `${folder}/${name}.png` });
  };
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await expect(page).toHaveTitle(/^Wren/, { timeout: WORK_MS });
  const tab = page.getByRole('navigation', { name: 'Screens' });
  await tab.getByRole('button', { name: /^Sign-off/ }).click({ timeout: WORK_MS });
  await expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: WORK_MS });
  await shot('signoff');

  await page.keyboard.press('p');
  const sheet = page.getByRole('dialog', { name: 'The packet' });
  await expect(sheet.getByText('Nothing is frozen yet')).toBeVisible();
  await sheet.getByLabel('Frozen by').fill('A. Lead');
  await sheet.getByLabel('Note').fill('<b>for</b> the "review"');
  await sheet.getByRole('button', { name: 'Freeze this state' }).click();
  await expect(sheet.getByText('stands frozen, and nothing has changed since')).toBeVisible();
  await sheet.getByRole('button', { name: /^Write the packet of revision 1/ }).click();
  await expect(sheet.getByRole('status').filter({ hasText: 'Written:' })).toBeVisible({ timeout: WORK_MS });
  await sheet.getByRole('button', { name: 'Compute it again and compare' }).click();
  await expect(sheet.getByText('every result comes out again to the last bit')).toBeVisible({ timeout: WORK_MS });
  await shot('packet');
  await serious('packet');
  await page.keyboard.press('Escape');

  await page.keyboard.press('y');
  await page.getByRole('button', { name: 'Compute everything again' }).click();
  await expect(page.getByText('Every file is as it was written')).toBeVisible({ timeout: WORK_MS });
  await shot('verify');
  await serious('verify');
  await page.keyboard.press('Escape');

  await page.keyboard.press('k');
  const recheck = page.getByRole('dialog', { name: 'Re-check' });
  await recheck.getByLabel('Opened by').fill('A. Lead');
  await recheck.getByRole('button', { name: 'Open the list' }).click();
  await expect(recheck.getByText('still to be taken')).toBeVisible();
  // before a capture is repeated on flight hardware
  await expect(recheck.getByRole('complementary', { name: 'Cautions' })).toContainText('ESD control plan');
  await recheck.getByRole('button', { name: 'Hold against the baseline' }).click();
  await expect(recheck.getByText('It is not shown that the build is as it was.')).toBeVisible({ timeout: WORK_MS });
  await shot('recheck');
  await serious('recheck');
  await page.keyboard.press('Escape');

  await page.keyboard.press('v');
  const review = page.getByRole('dialog');
  await expect(review.getByText(/^1 of (?!1$)\d+/)).toBeVisible({ timeout: WORK_MS });
  await expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: WORK_MS });
  await shot('review-whole');
  await serious('review');
  await page.keyboard.press('ArrowRight');
  await expect(review.getByRole('heading', { level: 1 })).toContainText('RX-');
  await shot('review-requirement');
  await page.keyboard.press('n');
  await review.getByLabel('an action').check();
  await review.getByLabel('In words').fill('Measure the bus harness.');
  await review.getByLabel('Said by').fill('A. Lead, R. Receiver');
  await review.getByLabel('Who has it').fill('B. Bench');
  await review.getByRole('button', { name: 'Keep it' }).click();
  await expect(review.getByText('Measure the bus harness.')).toBeVisible();
  for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowRight');
  await expect(review.getByRole('heading', { name: 'The story' })).toBeVisible();
  await shot('review-spur');
  await serious('review of a spur');
  await page.keyboard.press('Home');
  await expect(review.getByText('Measure the bus harness.')).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('button', { name: /Review, 1 open/ })).toBeVisible();
  expect(complaints).toEqual([]);

  const written = readdirSync(bench.documents).find((name) => name.endsWith('packet, revision 1'))!;
  await opensFromDisk(page, join(bench.documents, written, 'packet.html'));
});
