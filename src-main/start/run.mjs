// node run.mjs PROGRAM …: makes a fresh clone ready, then runs the program on a Node that is new enough.
// A shell remembers where it found `node`, so a second command of the same npm script would still run on the old one.
import { spawn } from 'node:child_process';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { NODE, prepare } from './prepare.mjs';
import { whenOrphaned } from './when-orphaned.mjs';

const [program, ...args] = process.argv.slice(2);
if (!(await prepare())) process.exitCode = 1;
else if (NODE === process.execPath) {
  process.argv.splice(1, 1);
  await import(pathToFileURL(resolve(program)).href);
} else {
  const child = spawn(NODE, [program, ...args], { stdio: 'inherit' });
  // Ctrl-C reaches the program by itself; it decides when to end.
  process.on('SIGINT', () => {});
  for (const signal of ['SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal));
  whenOrphaned(() => child.kill());
  child.on('error', (error) => {
    console.error(`${NODE}: ${error.message}`);
    process.exitCode = 1;
  });
  child.on('close', (code) => process.exit(code ?? 1));
}
