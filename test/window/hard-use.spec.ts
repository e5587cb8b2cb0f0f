/** Registers under hard use: two windows on one entry, what is in use removed and renamed, fields that cannot be. */
import type { Page } from '@playwright/test';
import { SOURCES_CSV } from './bench-files.ts';
import { expect, test } from './fixture.ts';
import { tab, wren } from './steps.ts';

const source = (page: Page, name: string) => page.getByRole('row', { name: new RegExp(`^\\w+ ${name} `) });
const refusal = (page: Page) => page.getByRole('alert');

async function withSources(page: Page): Promise<void> {
  await tab(page, 'Sources').click();
  await page.locator('input[type=file][aria-label="Import"]').setInputFiles(SOURCES_CSV);
  await expect(source(page, 'U7')).toBeVisible();
}

async function states(page: Page, ...names: string[]): Promise<void> {
  await tab(page, 'Fixes').click();
  await expect(page.getByRole('button', { name: 'Add a state' })).toBeVisible();
  for (const name of names) {
    // the form is gone only once the register has answered: until then its keys are its own
    await expect(page.getByLabel('Name', { exact: true })).toHaveCount(0);
    await page.keyboard.press('s');
    await expect(page.getByLabel('Name', { exact: true })).toHaveValue(name);
    if (name !== names[0]) {
      await page.getByLabel('The fix that made it').fill('a can over U9');
      await page.getByLabel('Meant for the sources').fill('U9');
    }
    await page.getByLabel('Name', { exact: true }).press('Enter');
    await expect(page.getByRole('article', { name: `State ${name}` })).toBeVisible();
  }
}

test('an entry changed or removed in another window is said so in the form that is open on it', async ({
  bench: { page, complaints },
}) => {
  await withSources(page);
  const [other] = await Promise.all([page.context().waitForEvent('page'), page.keyboard.press('Control+Alt+n')]);
  await tab(other, 'Sources').click();
  await source(page, 'U7').getByRole('button', { name: 'Edit U7' }).click();
  await page.getByLabel('Serial').fill('mine');
  await source(other, 'U7').getByRole('button', { name: 'Edit U7' }).click();
  await other.getByLabel('Serial').fill('theirs');
  await other.getByRole('button', { name: 'Keep the change' }).click();

  const said = page.getByRole('status').filter({ hasText: 'since this form was opened' });
  await expect(said).toContainText('It was changed');
  await expect(page.getByLabel('Serial')).toHaveValue('mine');
  await said.getByRole('button', { name: 'Show what it is now' }).click();
  await expect(page.getByLabel('Serial')).toHaveValue('theirs');
  await expect(said).toHaveCount(0);

  await source(other, 'U7').getByRole('button', { name: 'Remove U7' }).click();
  await expect(said).toContainText('It was removed');
  await expect(page.getByRole('button', { name: 'Keep the change' })).toBeDisabled();
  await other.keyboard.press('Control+z');
  await expect(said).toHaveCount(0);
  await expect(source(page, 'U7')).toBeVisible();
  expect(complaints).toEqual([]);
});

test('a source in use is not removed, takes its new name everywhere, and undo takes each step back', async ({
  bench: { page },
}) => {
  await withSources(page);
  await states(page, 'S0', 'S1');
  await tab(page, 'Sources').click();
  await source(page, 'U9').getByRole('button', { name: 'Remove U9' }).click();
  await expect(refusal(page)).toContainText('the fix “a can over U9” was meant for it');
  await expect(source(page, 'U9')).toBeVisible();
  await refusal(page).getByRole('button', { name: 'Put away' }).click();

  await source(page, 'U9').getByRole('button', { name: 'Edit U9' }).click();
  await page.getByLabel('Designator').fill('U7');
  await expect(page.getByText(/second time/)).toBeVisible();
  await expect(page.getByRole('button', { name: 'Keep the change' })).toBeDisabled();
  await page.getByLabel('Designator').fill('U9-A');
  await page.getByRole('button', { name: 'Keep the change' }).click();
  await expect(source(page, 'U9-A')).toBeVisible();
  await tab(page, 'Fixes').click();
  await page
    .getByRole('button', { name: /^Edit fix/ })
    .first()
    .click();
  await expect(page.getByRole('checkbox', { name: /U9-A/ })).toBeChecked();
  await page.keyboard.press('Escape');

  // the new name, then the state with its fix, then the first state: three steps
  for (const left of [2, 1, 0]) {
    await page.keyboard.press('Control+z');
    await expect(page.getByRole('article', { name: /^State/ })).toHaveCount(left);
  }
  await page.keyboard.press('Control+Shift+z');
  await page.keyboard.press('Control+Shift+z');
  await expect(page.getByText('a can over U9').first()).toBeVisible();
});

test('bands cannot overlap or be reversed, and a requirement keeps its band by any name', async ({
  bench: { page },
}) => {
  await tab(page, 'Sign-off').click();
  await page.locator('input[type=file][aria-label="Import bands"]').setInputFiles(wren('bands.csv'));
  const middle = page.getByRole('region', { name: 'Protected bands' }).getByRole('button', { name: /^middle/ });
  await middle.click();
  const sheet = page.getByRole('dialog');
  const keep = sheet.getByRole('button', { name: 'Keep the change' });
  for (const [field, text, said] of [
    ['To, MHz', '3', 'the end lies above the beginning'],
    ['To, MHz', '10', 'overlaps high'],
    ['To, MHz', 'nine', '“nine” is no number'],
    ['Channel width, kHz', '6000', 'wider than the band'],
    ['Name', 'low', 'another band has this name'],
  ] as const) {
    const value = await sheet.getByLabel(field, { exact: true }).inputValue();
    await sheet.getByLabel(field, { exact: true }).fill(text);
    await expect(sheet.getByText(said)).toBeVisible();
    await expect(keep).toBeDisabled();
    await sheet.getByLabel(field, { exact: true }).fill(value);
    await expect(keep).toBeEnabled();
  }
  await page.keyboard.press('Escape');

  await page.keyboard.press('n');
  await sheet.getByLabel('ID in your own documents').fill('RX-1');
  await sheet.getByLabel('At temperatures, °C').fill('50…15');
  await expect(sheet.getByText('write low…high')).toBeVisible();
  await sheet.getByLabel('At temperatures, °C').fill('15…50');
  await sheet.getByRole('button', { name: 'Enter the requirement' }).click();
  const requirement = page.getByRole('region', { name: 'Requirements' }).getByRole('button', { name: /^RX-1/ });
  await expect(requirement).toContainText('in low, middle, high');

  await middle.click();
  await sheet.getByRole('button', { name: 'Remove' }).click();
  await expect(refusal(page).filter({ hasText: 'RX-1' })).toBeVisible();
  await sheet.getByLabel('Name', { exact: true }).fill('centre');
  await keep.click();
  await expect(sheet).toHaveCount(0);
  await expect(requirement).toContainText('in low, centre, high');
  await page.keyboard.press('Control+z');
  await expect(requirement).toContainText('in low, middle, high');

  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Export requirements' }).click(),
  ]);
  await page.keyboard.press('Control+z');
  await expect(requirement).toHaveCount(0);
  await page.locator('input[type=file][aria-label="Import requirements"]').setInputFiles(await download.path());
  await expect(requirement).toContainText('in low, middle, high');
});
