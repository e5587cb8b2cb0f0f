import AxeBuilder from '@axe-core/playwright';
import { expect, test } from './fixture.ts';

test('lines from outside are known by the capture with all off, and a decision against that is kept and marked', async ({
  bench: { page },
}) => {
  test.setTimeout(180_000);
  await page.getByRole('button', { name: 'Open the invented demo (Wren)' }).click();
  const outside = page.getByRole('button', { name: /^\d+ from outside$/ });
  await expect(outside).toBeVisible({ timeout: 120_000 });
  await expect(page.getByRole('button', { name: 'Cancel' })).toHaveCount(0, { timeout: 60_000 });
  await outside.click();
  await page.getByRole('grid', { name: 'Spurs' }).getByRole('row').nth(1).click();

  const slip = page.getByRole('complementary', { name: 'The chosen spur' });
  await expect(slip).toContainText('with all sources off (all-off.csv)');
  const found = slip.getByRole('region', { name: 'What other captures say of this spur' });
  await expect(found).toContainText('All sources off');
  await expect(found).toContainText('Input terminated');
  await expect(found).toContainText('≤');

  await slip.getByRole('combobox', { name: 'It is another source' }).selectOption('5V-MAIN');
  await expect(slip).toContainText('Entered as 5V-MAIN, but the evidence of today says from outside.');
  const { violations } = await new AxeBuilder({ page }).include('.slip').analyze();
  expect(violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')).toEqual([]);

  // the decision is undone like any other, and the disagreement goes with it
  await page.keyboard.press('Control+z');
  await expect(slip).not.toContainText('Entered as 5V-MAIN');
});
