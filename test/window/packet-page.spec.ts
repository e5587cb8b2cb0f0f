import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import { chromium, expect, test } from '@playwright/test';
import { createApi } from '../../src-main/api/create-api.ts';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';

const SAMPLES = join(import.meta.dirname, '..', '..', 'sample-captures', 'wren');

// Playwright wants the braces
// eslint-disable-next-line no-empty-pattern
test('the page of a packet opens from disk with the network off, zooms, and has no barrier that axe finds', async ({}, info) => {
  test.skip(info.project.name !== 'browser', 'the page of a packet is read in a browser');
  test.skip(findBrowser() === null, HOW_TO_GET_A_BROWSER);
  test.skip(!existsSync(SAMPLES), 'no sample captures in this checkout');
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-packet-page-'));
  const api = createApi({
    dataFolder: join(folder, 'data'),
    documentsFolder: folder,
    host: 'direct',
    appVersion: '1.0.0',
    emit: () => {},
    who: 'tester',
    now: () => new Date(),
  });
  await api.registerOpenDemo({});
  const states = await api.stateList({});
  const freeze = await api.freezePut({ stateId: states.at(-1)!.id, note: '<b>"note"</b>', by: '=cmd()' });
  const { folder: packet } = await api.packetWrite({ freezeId: freeze.id, folder: 'packet', key: null, jobId: 'w' });
  await api.close();
  expect(readdirSync(packet)).toContain('packet.html');

  const browser = await chromium.launch({
    executablePath: findBrowser()!,
    args: process.getuid?.() === 0 ? ['--no-sandbox', '--disable-gpu'] : ['--disable-gpu'],
  });
  const context = await browser.newContext({ offline: true, viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  const [complaints, requests]: [string[], string[]] = [[], []];
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('request', (request) => requests.push(request.url()));
  const address = pathToFileURL(join(packet, 'packet.html')).href;
  await page.goto(address);
  await expect(page.getByRole('heading', { level: 1 })).toContainText('state S5');
  await expect(page.getByRole('heading', { name: 'What this packet does not show' })).toBeVisible();
  // names stand as text
  await expect(page.getByText('<b>"note"</b>')).toBeVisible();
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
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});
