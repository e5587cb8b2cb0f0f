import { enableCompileCache } from 'node:module';
import { dirname } from 'node:path';

// The program runs from source; with the types stripped once, later calls start in half the time.
enableCompileCache();
const { runCommandLine } = await import('./cli/command-line.ts');

// A reader that stops early (`… | head`) is no fault: what it left unread is lost and nothing else.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

// npm runs a script from the package's folder and says in INIT_CWD where the user stood.
const startedByNpm =
  process.env['npm_package_json'] !== undefined && dirname(process.env['npm_package_json']) === process.cwd();

// The exit status is set rather than exit() called, so that everything written to a pipe arrives.
process.exitCode = await runCommandLine(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  folder: (startedByNpm ? process.env['INIT_CWD'] : undefined) ?? process.cwd(),
  showsProgress: process.stderr.isTTY,
});
