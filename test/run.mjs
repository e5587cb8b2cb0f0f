// Runs every check in turn and ends with one plain line: N passed, N failed, N skipped.
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from '../src-main/start/build.mjs';
import { findBrowser, HOW_TO_GET_A_BROWSER } from '../src-main/start/find-browser.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const scratch = mkdtempSync(join(tmpdir(), 'spurledger-test-'));
const totals = { passed: 0, failed: 0, skipped: 0 };
const bin = (...path) => join(root, 'node_modules', ...path);

function run(args, env = {}) {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd: root, env: { ...process.env, FORCE_COLOR: '0', ...env } });
    let text = '';
    child.stdout.on('data', (chunk) => (text += chunk));
    child.stderr.on('data', (chunk) => (text += chunk));
    child.on('close', (code) => resolve({ code: code ?? 1, text }));
  });
}

const seconds = (start) => `(${((Date.now() - start) / 1000).toFixed(0)} s)`;

/** A check that passes or fails as a whole and counts as one test. `work` resolves to null or to what is wrong. */
async function check(name, work) {
  const start = Date.now();
  const problem = await work();
  if (problem === null) totals.passed++;
  else totals.failed++;
  console.log(problem === null ? `ok     ${name} ${seconds(start)}` : `FAILED ${name}\n${problem}\n`);
  return problem === null;
}

/** Commands one after the other; the first that fails says what is wrong. */
const commands =
  (...all) =>
  async () => {
    for (const args of all) {
      const { code, text } = await run(args);
      if (code !== 0) return text.trim() || `ended with status ${code}`;
    }
    return null;
  };

async function vitest() {
  const report = join(scratch, 'vitest.json');
  const start = Date.now();
  const { code, text } = await run([
    bin('vitest', 'vitest.mjs'),
    'run',
    '--config',
    '.config/vitest.config.ts',
    '--reporter=json',
    `--outputFile=${report}`,
  ]);
  if (!existsSync(report)) {
    totals.failed++;
    console.log(`FAILED the unit tests did not run\n${text.trim()}\n`);
    return;
  }
  const result = JSON.parse(readFileSync(report, 'utf8'));
  const count = { passed: 0, failed: 0, skipped: 0 };
  for (const file of result.testResults) {
    if (file.status === 'failed' && file.assertionResults.length === 0) {
      count.failed++;
      console.log(`FAILED ${relative(root, file.name)}\n${file.message}\n`);
    }
    for (const test of file.assertionResults) {
      if (test.status === 'passed') count.passed++;
      else if (test.status === 'failed') {
        count.failed++;
        console.log(`FAILED ${relative(root, file.name)} › ${test.fullName}\n${test.failureMessages.join('\n')}\n`);
      } else {
        count.skipped++;
        console.log(`skipped ${relative(root, file.name)} › ${test.fullName}`);
      }
    }
  }
  if (code !== 0 && count.failed === 0) {
    count.failed++;
    console.log(`FAILED the unit tests ended with status ${code}\n${text.trim().slice(-4000)}\n`);
  }
  for (const key of Object.keys(count)) totals[key] += count[key];
  console.log(
    `${count.failed === 0 ? 'ok    ' : 'FAILED'} unit tests: ${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped ${seconds(start)}`,
  );
}

/** On Debian as root a missing browser is installed; elsewhere it is said what to install. */
function browser() {
  const found = findBrowser();
  if (found !== null || process.platform !== 'linux' || process.getuid?.() !== 0 || !existsSync('/usr/bin/apt-get'))
    return found;
  console.log('installing chromium for the window tests …');
  spawnSync('apt-get', ['update', '-qq'], { stdio: 'ignore' });
  spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium', 'fonts-liberation'], {
    stdio: 'ignore',
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  return findBrowser();
}

function countPlaywright(suite, count) {
  for (const inner of suite.suites ?? []) countPlaywright(inner, count);
  for (const spec of suite.specs ?? [])
    for (const test of spec.tests) {
      const name = `${spec.file} › ${spec.title} [${test.projectName}]`;
      if (test.status === 'skipped') {
        count.skipped++;
        const reason = test.annotations
          .map((note) => note.description)
          .filter(Boolean)
          .join('; ');
        console.log(`skipped ${name}${reason === '' ? '' : `: ${reason}`}`);
      } else if (test.status === 'expected') count.passed++;
      else if (test.status === 'flaky') {
        count.passed++;
        console.log(`only at the second try: ${name}`);
      } else {
        count.failed++;
        const errors = test.results.flatMap((result) => result.errors.map((error) => error.message ?? ''));
        console.log(`FAILED ${name}\n${errors.join('\n')}\n`);
      }
    }
}

async function windowTests() {
  const path = browser();
  if (path === null) {
    totals.skipped++;
    console.log(`skipped the window tests: no browser was found. ${HOW_TO_GET_A_BROWSER}`);
    return;
  }
  const report = join(scratch, 'playwright.json');
  const start = Date.now();
  const { code, text } = await run(
    [bin('@playwright', 'test', 'cli.js'), 'test', '--config', '.config/playwright.config.ts', '--reporter=json'],
    { SPURLEDGER_BROWSER: path, PLAYWRIGHT_JSON_OUTPUT_NAME: report },
  );
  if (!existsSync(report)) {
    totals.failed++;
    console.log(`FAILED the window tests did not run\n${text.trim()}\n`);
    return;
  }
  const result = JSON.parse(readFileSync(report, 'utf8'));
  const count = { passed: 0, failed: 0, skipped: 0 };
  for (const suite of result.suites) countPlaywright(suite, count);
  for (const error of result.errors ?? []) {
    count.failed++;
    console.log(`FAILED window tests: ${error.message}\n`);
  }
  if (code !== 0 && count.failed === 0) count.failed++;
  for (const key of Object.keys(count)) totals[key] += count[key];
  console.log(
    `${count.failed === 0 ? 'ok    ' : 'FAILED'} window tests: ${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped ${seconds(start)}`,
  );
}

const tsc = (project) => [bin('typescript', 'bin', 'tsc'), '--noEmit', '-p', project];
// the checks of the text beside each other: one is mostly waiting while the other reads
await Promise.all([
  check('types', commands(tsc('tsconfig.json'), tsc('tsconfig.pure.json'))),
  check(
    'types of the page',
    commands([
      bin('svelte-check', 'bin', 'svelte-check'),
      ...['--tsconfig', './tsconfig.renderer.json', '--fail-on-warnings', '--output', 'human'],
    ]),
  ),
]);
await Promise.all([
  check(
    'lint',
    commands([bin('eslint', 'bin', 'eslint.js'), '-c', '.config/eslint.config.js', '--max-warnings', '0', '.']),
  ),
  check('format', commands([bin('prettier', 'bin', 'prettier.cjs'), '--check', '--log-level', 'warn', '.'])),
]);
const built = await check('build', () => build({ always: true }));
await vitest();
if (built) await windowTests();
rmSync(scratch, { recursive: true, force: true });
const ran = totals.passed + totals.failed;
console.log(`${totals.passed} passed, ${totals.failed} failed, ${totals.skipped} skipped`);
process.exit(totals.failed === 0 && ran > 0 ? 0 : 1);
