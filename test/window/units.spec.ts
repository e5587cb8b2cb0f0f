import { captureFile, MAIN, STRANGER, type CaptureFile } from './bench-files.ts';
import { expect, test } from './fixture.ts';

/** The same capture with its levels in volts' decibels: across 50 Ω 107 dB more. */
const inMicrovolts = (name: string, seed: number): CaptureFile => {
  const file = captureFile(name, seed, [MAIN]);
  const rows = file.buffer.toString().replace('Level (dBm)', 'Level (dBµV)').split('\n');
  const raised = rows.map((row) => {
    const [hz, level] = row.split(',');
    return /^\d+$/.test(hz!) && level !== undefined ? `${hz},${(Number(level) + 106.99).toFixed(3)}` : row;
  });
  return { ...file, buffer: Buffer.from(raised.join('\n')) };
};

test('traces of unlike units: an axis on the right, one axis once the impedance is stated, each read in its own unit', async ({
  bench: { page, complaints },
}) => {
  const files = [captureFile('watts.csv', 21, [MAIN]), inMicrovolts('volts.csv', 22)];
  await page.locator('input[type=file][aria-label="Open captures"]').setInputFiles(files);
  await expect(page.getByRole('heading', { name: '2 files, none refused' })).toBeVisible({ timeout: 60_000 });
  await page.keyboard.press('Escape');
  await expect(page.getByRole('application', { name: /with [1-9]\d* spurs/ })).toBeVisible({ timeout: 60_000 });
  await page.keyboard.press('c');
  await page.getByRole('row', { name: 'volts.csv' }).getByRole('button', { name: 'Lay over' }).click();
  await page.keyboard.press('Escape');
  const own = page.getByLabel('Unit of volts.csv');
  await expect(own).toHaveValue('udBµV');
  await expect(page.getByText('axis on the right')).toBeVisible();
  await page.getByLabel('Unit of the levels').selectOption({ label: '50 Ω' });
  await expect(own).toHaveValue('udBm');
  await expect(page.getByText('axis on the right')).toHaveCount(0);
  await page.getByLabel('Unit of the levels').selectOption('dBµV');
  await expect(own).toHaveValue('udBµV');
  const box = (await page.locator('.spectrum').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + 40);
  await expect(page.getByText(/trace −?\d[\d.]* dBµV/)).toBeVisible();
  expect(complaints).toEqual([]);
});

test('lines picked together are accepted in writing as one step', async ({ bench: { page, complaints } }) => {
  await page
    .locator('input[type=file][aria-label="Open captures"]')
    .setInputFiles(captureFile('both.csv', 23, [MAIN, STRANGER]));
  await expect(page.getByRole('application', { name: /with [1-9]\d* spurs/ })).toBeVisible({ timeout: 60_000 });
  await page.keyboard.press('Escape');
  await page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(1).click();
  for (let i = 0; i < 2; i++) await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('a');
  await expect(page.getByRole('heading', { name: 'Accept 3 lines as they stand' })).toBeVisible();
  await page.getByLabel('Why they are accepted').fill('under the noise of the sky');
  await page.getByLabel('Who accepts them').fill('the lead');
  await page.getByRole('button', { name: 'Accept in writing' }).click();
  await expect(page.getByText('3 lines accepted in writing')).toBeVisible();
  await page.keyboard.press('Control+z');
  await page
    .getByRole('navigation', { name: 'Screens' })
    .getByRole('button', { name: /^History/ })
    .click();
  await expect(page.getByText(/took back/).first()).toBeVisible();
  expect(complaints).toEqual([]);
});
