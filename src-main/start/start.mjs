// Opens the window: Electron where its binary is or can be had within four seconds, else the same page from the loopback
// host in an app window of an installed browser; with no display the address is printed and served on.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findBrowser, HOW_TO_GET_A_BROWSER } from './find-browser.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const electronFolder = join(root, 'node_modules', 'electron');
const DECIDE_MS = 4000;

/** Electron's binary where its installer left it. Importing the package instead would start a download. */
function electronBinary() {
  const note = join(electronFolder, 'path.txt');
  if (!existsSync(note)) return null;
  const binary = join(electronFolder, 'dist', readFileSync(note, 'utf8').trim());
  return existsSync(binary) ? binary : null;
}

/** Lets Electron's own installer try for a moment; most of the time it is there already or cannot be had. */
function fetchElectron() {
  return new Promise((resolve) => {
    const install = join(electronFolder, 'install.js');
    if (!existsSync(install)) return resolve(null);
    const child = spawn(process.execPath, [install], { stdio: 'ignore' });
    const stop = setTimeout(() => child.kill(), DECIDE_MS);
    child.on('close', () => {
      clearTimeout(stop);
      resolve(electronBinary());
    });
  });
}

const hasDisplay = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] || process.env['WAYLAND_DISPLAY']);
const wantsBrowser = process.argv.includes('--in-browser') || !hasDisplay;
const electron = wantsBrowser ? null : (electronBinary() ?? (await fetchElectron()));

if (electron !== null) {
  const child = spawn(electron, [root], { stdio: 'inherit' });
  child.on('close', (code) => process.exit(code ?? 0));
} else {
  const { serve } = await import(new URL('../../out/main/serve.js', import.meta.url).href);
  const { url, close } = await serve();
  const end = async (code) => {
    await close();
    process.exit(code);
  };
  process.on('SIGINT', () => void end(0));
  process.on('SIGTERM', () => void end(0));
  const browser = hasDisplay ? findBrowser() : null;
  if (browser === null) {
    console.log(hasDisplay ? HOW_TO_GET_A_BROWSER : 'There is no display here.');
    console.log(`Open this address in a browser on this machine (it works once): ${url}`);
    console.log('Ctrl-C ends it.');
  } else {
    const profile = mkdtempSync(join(tmpdir(), 'spurledger-window-'));
    const flags = [
      `--app=${url}`,
      `--user-data-dir=${profile}`,
      '--no-first-run',
      '--no-default-browser-check',
      '--disable-sync',
      '--disable-background-networking',
    ];
    if (process.getuid?.() === 0) flags.push('--no-sandbox');
    const child = spawn(browser, flags, { stdio: 'ignore' });
    child.on('error', (error) => console.error(`${browser}: ${error.message}. ${HOW_TO_GET_A_BROWSER}`));
    child.on('close', () => {
      rmSync(profile, { recursive: true, force: true });
      void end(0);
    });
  }
}
