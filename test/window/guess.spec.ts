import { captureFile, MAIN, DIGITAL, STRANGER } from './bench-files.ts';
import { expect, test } from './fixture.ts';

test('a fundamental is tried by hand on the comb strip, by pointer and by key, and scored as it moves', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(120_000);
  const file = captureFile('s0-antenna.csv', 11, [MAIN, DIGITAL, STRANGER]);
  await page.locator('input[type=file][aria-label="Open captures"]').setInputFiles([file]);
  await expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: 60_000 });
  await expect(page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(3)).toBeVisible({ timeout: 30_000 });
  const strip = page.getByRole('list', { name: 'Combs: one row per source' });
  const said = page.getByRole('status').filter({ hasText: 'teeth have a line' });

  await page.keyboard.press('u');
  await expect(said).toContainText(/\d+ of \d+ teeth have a line/);
  const before = await said.textContent();
  for (let i = 0; i < 3; i++) await page.keyboard.press('Alt+Shift+ArrowRight');
  await expect(said).not.toHaveText(before!);
  await page.keyboard.press('Escape');
  await expect(said).toHaveCount(0);

  const canvas = strip.locator('canvas').first();
  const box = (await canvas.boundingBox())!;
  await page.mouse.move(box.x + box.width * 0.4, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.4 + 12, box.y + box.height / 2, { steps: 4 });
  await expect(said).toContainText('teeth have a line');
  const during = await said.textContent();
  await page.mouse.move(box.x + box.width * 0.4 + 40, box.y + box.height / 2, { steps: 4 });
  await expect(said).not.toHaveText(during!);
  // back onto its lines
  await page.mouse.move(box.x + box.width * 0.4, box.y + box.height / 2, { steps: 4 });
  await page.mouse.up();
  await page.getByRole('button', { name: /To its lines/ }).click();
  await page.getByRole('button', { name: 'Make it a source' }).click();
  await expect(page.getByRole('heading', { name: /source/i }).first()).toBeVisible();
  expect(complaints).toEqual([]);
});
