// The loopback host with an app window of an installed browser, or with its address printed.
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { findBrowser, HOW_TO_GET_A_BROWSER } from './find-browser.mjs';
import { whenOrphaned } from './when-orphaned.mjs';

/** A browser that ends sooner than this opened no window of its own. */
const TOO_SOON_MS = 3000;
const LOOK_MS = 500;
/** A page that is loaded anew is away for a moment. */
const AWAY_LOOKS = 10;

/** Ends the browser and waits until it has written its last into the profile. */
function gone(browser) {
  return new Promise((resolve) => {
    browser.once('close', resolve);
    browser.kill();
    setTimeout(() => browser.kill('SIGKILL'), 3000);
  });
}

/** Serves until the app window is closed, or until Ctrl-C where the user opens the address himself. */
export async function serveWindow(hasDisplay) {
  const { serve } = await import(new URL('../../out/main/serve.js', import.meta.url).href);
  const loopback = await serve();
  const profile = mkdtempSync(join(tmpdir(), 'spurledger-window-'));
  let browser = null;
  let isEnding = false;
  const end = async (code) => {
    if (isEnding) return;
    isEnding = true;
    await loopback.close();
    if (browser !== null) await gone(browser);
    rmSync(profile, { recursive: true, force: true, maxRetries: 10 });
    process.exit(code);
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.once(signal, () => void end(0));
  if (process.env['npm_lifecycle_event'] === 'start') whenOrphaned(() => void end(0));

  const printAddress = (why) => {
    console.log(why);
    console.log(`Open this address in a browser on this machine (it works once): ${loopback.openingUrl()}`);
    console.log('Ctrl-C ends it.');
  };
  const path = hasDisplay ? findBrowser() : null;
  if (path === null) return printAddress(hasDisplay ? HOW_TO_GET_A_BROWSER : 'There is no display here.');

  const flags = [
    `--app=${loopback.url}`,
    `--user-data-dir=${profile}`,
    '--window-size=1440,900',
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-sync',
    '--disable-background-networking',
  ];
  // Chromium's sandbox refuses to run as root
  if (process.getuid?.() === 0) flags.push('--no-sandbox', '--test-type'); // the second hides its notice of the first
  const openedAt = Date.now();
  browser = spawn(path, flags, { stdio: 'ignore' });
  let fault = null;
  browser.on('error', (error) => (fault = error.message));
  browser.on('close', (code, signal) => {
    browser = null;
    if (isEnding || signal !== null) return void end(0);
    if (fault !== null || (code !== 0 && Date.now() - openedAt < TOO_SOON_MS))
      return printAddress(`${path} did not open a window (${fault ?? `status ${code}`}). ${HOW_TO_GET_A_BROWSER}`);
    if (Date.now() - openedAt > TOO_SOON_MS) return void end(0);
    // it handed the address to a browser that runs already: the page tells when it is gone
    let [seen, away] = [false, 0];
    setInterval(() => {
      if (loopback.pages() > 0) [seen, away] = [true, 0];
      else if (seen && ++away > AWAY_LOOKS) void end(0);
    }, LOOK_MS);
  });
}
