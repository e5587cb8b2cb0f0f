/**
 * The window under test, once per project: `browser` drives the page of the loopback host in an installed Chromium-family
 * browser; `electron` is skipped with a plain message where Electron's binary is absent. Each test gets a host of its own
 * with empty folders. The page must have been built (npm run build).
 *
 *   import { expect, test } from './fixture.ts';
 *   test('…', async ({ bench }) => { await bench.page.getByRole('button', …).click(); });
 */
import { existsSync, mkdtempSync, mkdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test as base, chromium, type Browser, type Page } from '@playwright/test';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../../src-main/start/find-browser.mjs';
import type { Loopback } from '../../src-main/hosts/loopback/start-loopback.ts';

export { expect } from '@playwright/test';

export interface Bench {
  readonly page: Page;
  /** Folder where the page offers new registers. */
  readonly documents: string;
  /** Opens a second window on the same host. */
  another(): Promise<Page>;
}

const root = join(import.meta.dirname, '..', '..');

export const test = base.extend<{ bench: Bench }>({
  bench: async ({ viewport }, use, info) => {
    if (info.project.name === 'electron') {
      const present = existsSync(join(root, 'node_modules', 'electron', 'path.txt'));
      base.skip(!present, 'Electron’s binary is not on this machine');
      base.skip(true, 'the Electron window is not driven by these tests yet');
    }
    const executablePath = findBrowser();
    base.skip(executablePath === null, HOW_TO_GET_A_BROWSER);
    const folder = mkdtempSync(join(tmpdir(), 'spurledger-bench-'));
    const documents = join(folder, 'documents');
    mkdirSync(documents);
    process.env['SPURLEDGER_DATA'] = join(folder, 'data');
    process.env['SPURLEDGER_DOCUMENTS'] = documents;
    const { serve } = (await import(join(root, 'out', 'main', 'serve.js'))) as { serve: () => Promise<Loopback> };
    const loopback = await serve();
    const asRoot = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
    const browser: Browser = await chromium.launch({
      executablePath: executablePath!,
      args: [...asRoot, '--disable-gpu', '--disable-background-networking', '--no-first-run'],
    });
    const context = await browser.newContext({ viewport: viewport ?? { width: 1280, height: 800 } });
    const page = await context.newPage();
    await page.goto(loopback.url);
    await use({
      page,
      documents,
      async another() {
        const second = await context.newPage();
        await second.goto(loopback.openingUrl());
        return second;
      },
    });
    await browser.close();
    await loopback.close();
    rmSync(folder, { recursive: true, force: true });
  },
});
