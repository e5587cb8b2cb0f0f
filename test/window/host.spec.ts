import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from './fixture.ts';

const ROOT = join(import.meta.dirname, '..', '..');

test('the page opens without a complaint and shows the demonstration', { tag: '@electron' }, async ({ bench }) => {
  const { page, complaints } = bench;
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await expect(page.getByRole('application', { name: /^Spectrum from/ })).toBeVisible({ timeout: 60_000 });
  expect(complaints).toEqual([]);
});

test('a page loaded anew is the same page', async ({ bench }) => {
  const { page } = bench;
  await page.reload();
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
});

test('scripts of other origins, frames and the page’s own eval are refused by the content policy', async ({
  bench,
}) => {
  const { page } = bench;
  const answers = await page.evaluate(async () => {
    const load = (tag: 'script' | 'iframe', src: string) =>
      new Promise<string>((resolve) => {
        const element = document.createElement(tag);
        document.addEventListener('securitypolicyviolation', (event) => resolve(event.effectiveDirective), {
          once: true,
        });
        element.src = src;
        document.body.append(element);
      });
    const outcomes = [await load('script', 'http://127.0.0.1:9/evil.js'), await load('iframe', 'http://127.0.0.1:9/')];
    try {
      // eslint-disable-next-line @typescript-eslint/no-implied-eval, @typescript-eslint/no-unsafe-call -- it must be refused
      outcomes.push(String(new Function('return "ran"')()));
    } catch {
      outcomes.push('no eval');
    }
    return [...outcomes, document.cookie];
  });
  expect(answers).toEqual(['script-src-elem', 'frame-src', 'no eval', '']);
});

test('when the program behind the page ends, the page says so', async ({ bench }) => {
  await expect(bench.page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await bench.endHost();
  await expect(bench.page.getByRole('alert')).toContainText(/program/);
});

test('with no display the start prints an address that opens the page, and Ctrl-C ends it', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-start-'));
  const env: NodeJS.ProcessEnv = { ...process.env, SPURLEDGER_DATA: folder, SPURLEDGER_DOCUMENTS: folder };
  delete env['DISPLAY'];
  delete env['WAYLAND_DISPLAY'];
  test.skip(process.platform !== 'linux', 'only Linux tells that there is no display');
  const child = spawn(process.execPath, [join(ROOT, 'src-main', 'start', 'start.mjs')], { env });
  let said = '';
  child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  await expect.poll(() => said, { timeout: 30_000 }).toMatch(/http:\/\/127\.0\.0\.1:\d+\/\?open=\S+/);
  const answer = await fetch(/http:\S+/.exec(said)![0], { redirect: 'manual' });
  expect(answer.status).toBe(303);
  child.kill('SIGINT');
  expect(await ended).toBe(0);
  rmSync(folder, { recursive: true, force: true });
});
