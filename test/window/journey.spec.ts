import type { Page } from '@playwright/test';
import { BROKEN, captureFile, DIGITAL, MAIN, SOURCES_CSV, STRANGER } from './bench-files.ts';
import { expect, test } from './fixture.ts';

const before = () => captureFile('s0-antenna.csv', 11, [MAIN, DIGITAL, STRANGER]);
/** The shield takes 14 dB off one source and leaves the rest. */
const after = () =>
  captureFile('s1-antenna.csv', 12, [MAIN, { ...DIGITAL, levelDbm: DIGITAL.levelDbm - 14 }, STRANGER]);

async function openFiles(page: Page, files: Parameters<Page['setInputFiles']>[1]): Promise<void> {
  await page.locator('input[type=file][aria-label="Open captures"]').setInputFiles(files);
}
const tab = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Screens' }).getByRole('button', { name: new RegExp(`^${name}`) });
const spurCount = (page: Page) => page.getByRole('grid', { name: 'Spurs' });
const slip = (page: Page) => page.getByRole('complementary', { name: 'The chosen spur' });
const idle = (page: Page) => expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: 30_000 });

test('an empty register says on every screen what to do next', async ({ bench: { page } }) => {
  await expect(page.getByRole('heading', { name: 'No capture yet' })).toBeVisible();
  await expect(page.getByRole('button', { name: 'Open the invented demo (Wren)' })).toBeVisible();
  await expect(page.getByRole('heading', { name: 'No spur chosen' })).toBeVisible();
  await tab(page, 'Sources').click();
  await expect(page.getByRole('heading', { name: 'Nothing that switches is entered yet' })).toBeVisible();
  await tab(page, 'Fixes').click();
  await expect(page.getByRole('heading', { name: 'No state yet' })).toBeVisible();
  await tab(page, 'History').click();
  await expect(page.getByRole('heading', { name: 'Nothing was changed yet.' })).toBeVisible();
});

test('a refused file shows its five parts and holds up no other', async ({ bench: { page } }) => {
  await openFiles(page, [BROKEN, before()]);
  const problem = page.getByRole('alert');
  for (const part of ['file', 'place', 'found', 'expected', 'way out'])
    await expect(problem.getByText(part, { exact: true })).toBeVisible();
  await expect(problem).toContainText('minutes.csv');
  await expect(page.getByText('refused: nothing of it was kept')).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(spurCount(page).getByRole('row').nth(1)).toBeVisible({ timeout: 30_000 });
});

test('from captures to what a fix did, and back again by undo', async ({ bench: { page } }) => {
  test.setTimeout(180_000);
  await openFiles(page, [before(), after()]);
  await idle(page);
  // the list of what was taken in comes when all files are read: closing it earlier closes nothing
  await expect(page.getByRole('dialog')).toBeVisible();
  await page.keyboard.press('Escape');

  // Triage without sources: the lines are there and nobody owns them.
  await expect(page.getByRole('button', { name: /unknown comb/ }).first()).toBeVisible({ timeout: 30_000 });

  // Sources come in as a table; the same lines are then named.
  await tab(page, 'Sources').click();
  await page.locator('input[type=file][aria-label="Import"]').setInputFiles(SOURCES_CSV);
  await expect(page.getByRole('row', { name: /U7/ })).toBeVisible();
  await idle(page);
  await expect(page.getByRole('row', { name: /U7/ })).toContainText('412.33');
  await expect(page.getByRole('row', { name: /unknown comb/ })).toContainText('733.41');

  // The unknown comb is entered as a source, in place, and one designator twice is refused as it is typed.
  await page.getByRole('button', { name: 'Enter it as a source' }).first().click();
  await page.getByLabel('Designator').fill('U7');
  await expect(page.getByRole('button', { name: 'Add the source' })).toBeDisabled();
  await page.getByLabel('Designator').fill('HEATER');
  await page.getByLabel('Tolerance, ±').fill('1 %');
  await page.getByRole('button', { name: 'Add the source' }).click();
  await expect(page.getByRole('row', { name: /HEATER/ })).toBeVisible();
  await idle(page);
  await expect(page.getByText('no entry in the register fits')).toHaveCount(0);

  // A click in the list takes the plot there, and the slip says why.
  await tab(page, 'Bench').click();
  const plot = page.getByRole('application', { name: /^Spectrum from/ });
  await expect(plot).toHaveAttribute('aria-label', /^Spectrum from 1 MHz to 18\.99/);
  await page.getByRole('searchbox', { name: 'Filter the spur list' }).fill('U7');
  await spurCount(page).getByRole('row').nth(5).click();
  await expect(plot).not.toHaveAttribute('aria-label', /^Spectrum from 1 MHz to 18\.99/);
  await expect(plot).toHaveAttribute('aria-label', /U7 A\d+, at/);
  await expect(slip(page)).toContainText('chance');
  await expect(slip(page)).toContainText('off by');
  await page.keyboard.press('Escape');

  // A decision is kept beside the spur.
  await spurCount(page).getByRole('row').nth(3).click();
  await slip(page)
    .getByRole('button', { name: /^Confirm/ })
    .click();
  await expect(slip(page)).toContainText('Confirmed');

  // Two states with a fix between, captures assigned many at once.
  await tab(page, 'Fixes').click();
  await expect(page.getByRole('button', { name: 'Add a state' })).toBeVisible();
  await page.keyboard.press('s');
  await page.getByLabel('Name').fill('S0');
  await page.getByRole('button', { name: 'Add the state' }).click();
  await expect(page.getByRole('article', { name: 'State S0' })).toBeVisible();
  await expect(page.getByLabel('Name')).toHaveCount(0);
  await page.keyboard.press('s');
  await page.getByLabel('The fix that made it').fill('shield can over U9');
  await page.getByLabel('Meant for the sources').fill('U9');
  await page.getByRole('button', { name: 'Add the state' }).click();
  await expect(page.getByText('shield can over U9').first()).toBeVisible();
  await page.getByRole('button', { name: /belong to no state/ }).click();
  await page.getByRole('checkbox', { name: 'Mark s0-antenna.csv' }).check();
  await page.getByRole('combobox', { name: 'Assign to state' }).selectOption({ index: 1 });
  await expect(page.getByRole('row', { name: /s0-antenna/ })).toContainText('S0');
  await page.getByRole('checkbox', { name: 'Mark s0-antenna.csv' }).uncheck();
  await page.getByRole('checkbox', { name: 'Mark s1-antenna.csv' }).check();
  await page.getByRole('combobox', { name: 'Assign to state' }).selectOption({ index: 2 });
  await expect(page.getByRole('row', { name: /s1-antenna/ })).toContainText('S1');
  await page.keyboard.press('Escape');

  // What the fix did.
  await page.getByRole('button', { name: /^S1/ }).first().click();
  await page.getByRole('button', { name: 'Compare' }).click();
  await idle(page);
  const tracks = page.getByRole('grid', { name: 'Tracks' });
  await expect(tracks).toBeVisible({ timeout: 30_000 });
  await page
    .getByRole('group', { name: 'Statuses' })
    .getByRole('button', { name: /weaker/ })
    .click();
  for (const row of await tracks.getByRole('row').all())
    if (!(await row.innerText()).startsWith('Status')) await expect(row).toContainText('U9');
  await tracks.getByRole('row').nth(1).click();
  await expect(page.getByRole('application', { name: /^Earlier and later trace/ })).toBeVisible();

  // Undo takes the last change back and is an entry of its own.
  await tab(page, 'History').click();
  await expect(page.getByRole('row', { name: /state|capture|condition/ }).first()).toBeVisible();
  const rows = await page.getByRole('row').count();
  await page.getByRole('button', { name: 'Undo', exact: true }).click();
  await expect(page.getByRole('row')).toHaveCount(rows + 1);
  await page.keyboard.press('Control+Shift+z');
  await expect(page.getByRole('row')).toHaveCount(rows + 2);

  // Out again as a table.
  await tab(page, 'Sources').click();
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Export' }).click();
  expect((await download).suggestedFilename()).toMatch(/\.csv$/);
});

test('the invented demo opens, says that it is invented, and counts nothing hidden as cleared', async ({
  bench: { page },
}) => {
  test.setTimeout(150_000);
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  await expect(spurCount(page).getByRole('row').nth(1)).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('banner')).toContainText('invented');
  await tab(page, 'Fixes').click();
  await page.getByRole('article', { name: 'State S3' }).getByRole('button', { name: /^S3/ }).click();
  await page.getByRole('button', { name: 'Compare' }).click();
  const statuses = page.getByRole('group', { name: 'Statuses' });
  await expect(statuses).toBeVisible({ timeout: 60_000 });
  await statuses.getByRole('button', { name: /hidden/ }).click();
  const shown = await page.getByRole('grid', { name: 'Tracks' }).getByRole('row').allInnerTexts();
  expect(shown.length).toBeGreaterThan(5);
  for (const row of shown.slice(1)) expect(row).not.toContain('≤');
});

test('the bench is worked by keyboard alone', async ({ bench: { page } }) => {
  await openFiles(page, [before()]);
  await idle(page);
  await expect(spurCount(page).getByRole('row').nth(1)).toBeVisible({ timeout: 30_000 });
  const plot = page.getByRole('application', { name: /^Spectrum from/ });
  const whole = (await plot.getAttribute('aria-label'))!.split(' with ')[0]!;
  await page.keyboard.press('ArrowRight');
  await expect(slip(page)).toContainText('Spur 1');
  await page.keyboard.press('ArrowRight');
  await expect(slip(page)).toContainText('Spur 2');
  await page.keyboard.press('+');
  // the view glides there: it has arrived where two looks see the same
  let near = whole;
  await expect
    .poll(async () => {
      const before = near;
      near = (await plot.getAttribute('aria-label'))!.split(' with ')[0]!;
      return near !== whole && near === before;
    })
    .toBe(true);
  await page.keyboard.press('w');
  await expect(plot).toHaveAttribute('aria-label', new RegExp(`^${whole}`));
  await page.keyboard.press('[');
  await expect(plot).toHaveAttribute('aria-label', new RegExp(`^${near}`));
  await page.keyboard.press('0');
  await expect(slip(page)).toContainText('Entered: nobody knows');
  await page.keyboard.press('.');
  await page.keyboard.type('moves with the lid');
  await page.keyboard.press('Enter');
  await expect(slip(page)).toContainText('moves with the lid');
  // keys go to the note's field until it is gone, and to the sheet's once it is there
  await expect(page.locator('input:focus, textarea:focus')).toHaveCount(0);
  await page.keyboard.press('/');
  await expect(page.locator('#goto')).toBeFocused();
  await page.keyboard.type('12 MHz');
  await page.keyboard.press('Enter');
  await expect(plot).toHaveAttribute('aria-label', /^Spectrum from 11\./);
  await page.keyboard.press('F1');
  await expect(page.getByRole('heading', { name: 'Every mark and key' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { name: 'Every mark and key' })).toHaveCount(0);
});

test('the plots take on another theme at once', async ({ bench: { page } }) => {
  await openFiles(page, [before()]);
  await expect(spurCount(page).getByRole('row').nth(1)).toBeVisible({ timeout: 30_000 });
  await idle(page);
  const picture = () => page.locator('.spectrum canvas').evaluate((canvas: HTMLCanvasElement) => canvas.toDataURL());
  const light = await picture();
  await page.getByRole('button', { name: 'Look' }).click();
  await page.getByRole('radio', { name: 'dark', exact: true }).check();
  await expect.poll(picture).not.toBe(light);
  await page.getByRole('radio', { name: 'light', exact: true }).check();
  await expect.poll(picture).toBe(light);
});
