/** What stands beside a figure, and what is to be minded before a measurement is made. */
import { expect, test } from './fixture.ts';
import { idle, openDemo, serious, spurs, tab, tabTo } from './steps.ts';

test('the help beside a figure opens by keyboard, widens no column, and Escape closes it alone', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(120_000);
  await openDemo(page);
  const ask = spurs(page).getByRole('button', { name: 'What is the level?' });
  const head = spurs(page).getByRole('columnheader', { name: /^Level/ });
  const before = await head.boundingBox();
  await tabTo(page, ask);
  await page.keyboard.press('Enter');
  const said = page.locator('[popover]:popover-open');
  await expect(said).toContainText('one standard deviation');
  await expect(said).toContainText('Source:');
  expect(await head.boundingBox()).toEqual(before);
  expect(await serious(page)).toEqual([]);
  await page.keyboard.press('Escape');
  await expect(said).toHaveCount(0);
  await expect(ask).toBeFocused();
  // over a sheet only the help is closed by the first Escape
  await page.keyboard.press('i');
  await page.getByRole('button', { name: 'Calibration chain' }).click();
  const sheet = page.getByRole('dialog', { name: 'Calibration chain' });
  await sheet.getByRole('button', { name: 'What is the check by a known tone?' }).press('Enter');
  await expect(said).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(said).toHaveCount(0);
  await expect(sheet).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(sheet).toHaveCount(0);
  expect(complaints).toEqual([]);
});

test('cautions stand in the sheets of condition, calibration and photographs', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(120_000);
  await openDemo(page);
  const cautions = page.getByRole('dialog').getByRole('complementary', { name: 'Cautions' });
  // the capture on the bench was taken at the receiver's port
  await page.keyboard.press('k');
  await expect(cautions).toContainText('ESD control plan');
  await expect(cautions).toContainText('limited total power');
  await expect(cautions).toContainText('responsible engineer or licensed electrician');
  await page.keyboard.press('Escape');
  await page.keyboard.press('i');
  await page.getByRole('button', { name: 'Calibration chain' }).click();
  await expect(cautions).toContainText('limited total power');
  await page.keyboard.press('Escape');
  await tab(page, 'Fixes').click();
  await idle(page);
  await page.keyboard.press('m');
  await expect(cautions).toContainText('ESD control plan');
  // a probe is held to the open build, whatever the point that is pinned first
  await expect(cautions).toContainText('Capacitors keep their charge');
  expect(complaints).toEqual([]);
});
