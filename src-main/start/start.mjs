// Opens the window: Electron where its binary is or can be had, else the same page from the loopback host in an app window
// of an installed browser; with no display the address is printed and served on.
import { spawn } from 'node:child_process';
import { build } from './build.mjs';
import { electronBinary, fetchElectron } from './electron-binary.mjs';
import { serveWindow } from './serve-window.mjs';
import { ROOT } from './prepare.mjs';
import { whenOrphaned } from './when-orphaned.mjs';

const hasDisplay = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] || process.env['WAYLAND_DISPLAY']);
const wantsBrowser = process.argv.includes('--in-browser') || !hasDisplay;

const electronSoon = wantsBrowser ? Promise.resolve(null) : Promise.resolve(electronBinary() ?? fetchElectron());
const [problem, electron] = await Promise.all([build(), electronSoon]);

if (problem !== null) {
  console.error(`The program could not be built.\n${problem}`);
  process.exitCode = 1;
} else if (electron === null) await serveWindow(hasDisplay);
else {
  // Chromium's sandbox refuses to run as root
  const asRoot = process.platform === 'linux' && process.getuid() === 0 ? ['--no-sandbox'] : [];
  const child = spawn(electron, [...asRoot, ROOT], { stdio: 'inherit' });
  process.on('SIGINT', () => {});
  for (const signal of ['SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal));
  whenOrphaned(() => child.kill());
  child.on('error', (error) => {
    console.error(`Electron did not start (${error.message}); the same page opens in a browser.`);
    void serveWindow(hasDisplay);
  });
  child.on('close', (code) => process.exit(code ?? 1));
}
