// Finds a Chromium-family browser by hand: the libraries tried miss Edge or Debian's Chromium.
import { accessSync, constants, existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
  'microsoft-edge',
  'microsoft-edge-stable',
  'brave-browser',
];

function usual() {
  if (process.platform === 'darwin')
    return ['Chromium', 'Google Chrome', 'Microsoft Edge', 'Brave Browser'].map(
      (name) => `/Applications/${name}.app/Contents/MacOS/${name}`,
    );
  if (process.platform === 'win32')
    return ['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA'].flatMap((variable) => {
      const folder = process.env[variable];
      return folder === undefined
        ? []
        : [
            'Google/Chrome/Application/chrome.exe',
            'Microsoft/Edge/Application/msedge.exe',
            'Chromium/Application/chrome.exe',
          ].map((path) => join(folder, path));
    });
  return [
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
    '/snap/bin/chromium',
    '/usr/bin/microsoft-edge',
  ];
}

function runs(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** Path of a browser, or null. SPURLEDGER_BROWSER names one outright. */
export function findBrowser() {
  const named = process.env['SPURLEDGER_BROWSER'];
  if (named) return existsSync(named) ? named : null;
  const onPath = (process.env['PATH'] ?? '')
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, process.platform === 'win32' ? `${name}.exe` : name)));
  return [...onPath, ...usual()].find(runs) ?? null;
}

export const HOW_TO_GET_A_BROWSER =
  'Install Chromium, Chrome or Edge (Debian: apt-get install chromium), or name one in SPURLEDGER_BROWSER.';
