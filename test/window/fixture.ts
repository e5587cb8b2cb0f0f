/**
 * The window under test. Each test gets a host of its own with empty folders; the page must have been built (npm run build).
 *
 *   import { expect, test } from './fixture.ts';
 *   test('…', async ({ bench }) => { await bench.page.getByRole('button', …).click(); });
 *
 * Two projects: `browser` drives the page of the loopback host in an installed Chromium-family browser; `electron` drives
 * Electron's own window for the tests tagged @electron, and is skipped with a plain message where its binary is absent.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test as base } from '@playwright/test';
import { electronBinary } from '../../src-main/start/electron-binary.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import { openBench, openElectron, type Bench } from './open-bench.ts';

export { expect } from '@playwright/test';

export const test = base.extend<{ bench: Bench }>({
  // Playwright wants the braces
  // eslint-disable-next-line no-empty-pattern
  bench: async ({}, use, { project }) => {
    const isElectron = project.name === 'electron';
    const binary = isElectron ? electronBinary() : findBrowser();
    base.skip(binary === null, isElectron ? 'Electron’s binary is not on this machine' : HOW_TO_GET_A_BROWSER);
    const folder = mkdtempSync(join(tmpdir(), 'spurledger-bench-'));
    const bench = await (isElectron ? openElectron(folder, binary!) : openBench(folder));
    await use(bench);
    await bench.close();
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  },
});
