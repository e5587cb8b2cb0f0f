import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { _electron, chromium, type Page } from '@playwright/test';
import { findBrowser } from '../../src-main/start/find-browser.mjs';
import type { Loopback } from '../../src-main/hosts/loopback/start-loopback.ts';

/** A window on a host of its own. */
export interface Bench {
  readonly page: Page;
  /** Folder where the page offers new registers. */
  readonly documents: string;
  /** Errors and refusals of the content policy that the page wrote so far. */
  readonly complaints: readonly string[];
  /** Opens a second window on the same host. */
  another(): Promise<Page>;
  /** Ends the host under the open page. */
  endHost(): Promise<void>;
}

const ROOT = join(import.meta.dirname, '..', '..');
/** Chromium's sandbox refuses to run as root. */
const AS_ROOT = process.getuid?.() === 0 ? ['--no-sandbox'] : [];

function listen(page: Page): string[] {
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  return complaints;
}

/** A loopback host from the build, with the page open in a fresh browser. */
export async function openBench(
  folder: string,
  look: {
    width: number;
    height: number;
    colorScheme?: 'light' | 'dark';
    contrast?: 'more' | 'no-preference';
    /** 2: the same window read at 200 %, half as many pixels of the page across. */
    zoom?: number;
  } = { width: 1280, height: 800 },
): Promise<Bench & { close(): Promise<void> }> {
  const documents = join(folder, 'documents');
  mkdirSync(documents, { recursive: true });
  process.env['SPURLEDGER_DATA'] = join(folder, 'data');
  process.env['SPURLEDGER_DOCUMENTS'] = documents;
  const { serve } = (await import(join(ROOT, 'out', 'main', 'serve.js'))) as { serve: () => Promise<Loopback> };
  const loopback = await serve();
  const browser = await chromium.launch({
    executablePath: findBrowser()!,
    args: [...AS_ROOT, '--disable-gpu', '--disable-background-networking', '--no-first-run'],
  });
  const { width, height, colorScheme = 'light', contrast = 'no-preference', zoom = 1 } = look;
  const context = await browser.newContext({
    viewport: { width: width / zoom, height: height / zoom },
    deviceScaleFactor: zoom,
    colorScheme,
    contrast,
  });
  const page = await context.newPage();
  const complaints = listen(page);
  await page.goto(loopback.url);
  let isOver = false;
  const endHost = async (): Promise<void> => {
    if (!isOver) await loopback.close();
    isOver = true;
  };
  return {
    page,
    documents,
    complaints,
    async another() {
      const second = await context.newPage();
      await second.goto(loopback.openingUrl());
      return second;
    },
    endHost,
    async close() {
      await browser.close();
      await endHost();
    },
  };
}

/** Electron's own window on the built program. */
export async function openElectron(
  folder: string,
  executablePath: string,
): Promise<Bench & { close(): Promise<void> }> {
  const documents = join(folder, 'documents');
  mkdirSync(documents);
  const env = { ...process.env, SPURLEDGER_DATA: join(folder, 'data'), SPURLEDGER_DOCUMENTS: documents };
  const program = await _electron.launch({
    executablePath,
    args: [...AS_ROOT, ROOT],
    env: env,
  });
  const page = await program.firstWindow();
  const oneWindow = (): Promise<never> => Promise.reject(new Error('only the loopback host can do this'));
  return {
    page,
    documents,
    complaints: listen(page),
    another: oneWindow,
    endHost: oneWindow,
    close: () => program.close(),
  };
}
