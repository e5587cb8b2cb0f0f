/** The whole job in a register of its own, from nothing to a packet that computes again, with the files of the invented demonstration. */
import type { Page } from '@playwright/test';
import { expect, test } from './fixture.ts';
import { keyboard, pointer, type Hand } from './hands.ts';
import { idle, slip, spurs, WORK_MS, wren } from './steps.ts';

async function wholeJob(page: Page, hand: Hand): Promise<void> {
  const { step } = test;
  const button = (name: string | RegExp) => page.getByRole('button', { name });
  const sheet = page.getByRole('dialog');

  await step('a register is made under the name of the build', async () => {
    await hand.press(page.getByRole('banner').getByTitle(/^Registers/));
    await hand.type(sheet.getByLabel('Title of the build'), 'Wren flight unit');
    await hand.press(sheet.getByRole('button', { name: 'Make a new register' }));
    await expect(page).toHaveTitle(/^Wren flight unit/);
  });

  await step('sources and protected bands come in as tables', async () => {
    await hand.screen('Sources');
    await hand.files(button(/^Import/), [wren('sources.csv')]);
    await expect(page.getByRole('row', { name: /^C BUS-ISO/ })).toBeVisible();
    await hand.screen('Sign-off');
    await hand.files(button('Import bands'), [wren('bands.csv')]);
    await expect(button(/^middle/)).toBeVisible();
  });

  await step('captures come in and every spur over the floor is triaged', async () => {
    await hand.screen('Bench');
    await hand.files(
      button(/^Open captures/).first(),
      ['all-off', 's0-as-built-1', 's3-shield-can'].map((name) => wren(`captures/${name}.csv`)),
    );
    await expect(page.getByRole('heading', { name: /3 files/ })).toBeVisible({ timeout: WORK_MS });
    await idle(page);
    await hand.close();
    await expect(spurs(page).getByRole('row').nth(1)).toBeVisible();
  });

  await step('states are entered with the fix that made them, and each capture is put to its state', async () => {
    await hand.screen('Fixes');
    await hand.press(button(/^Add a state/));
    await hand.type(page.getByLabel('Description'), 'as built');
    await hand.press(page.locator('form').getByRole('button', { name: 'Add the state' }));
    await expect(page.getByRole('article', { name: 'State S0' })).toBeVisible();
    await hand.press(button(/^Add a state/));
    await hand.type(page.getByLabel('The fix that made it'), 'shield can over the main converter');
    await hand.type(page.getByLabel('Meant for the sources'), '5V-MAIN');
    await hand.press(page.locator('form').getByRole('button', { name: 'Add the state' }));
    await expect(page.getByText('shield can over the main converter').first()).toBeVisible();
    await hand.press(button(/^Point/));
    await hand.type(page.getByLabel('Name'), 'receiver port');
    await hand.press(page.locator('form').getByRole('button', { name: /^Add the point|^Enter the point|^Add/ }));
    await expect(button(/^receiver port/)).toBeVisible();

    await hand.press(button(/belong to no state/));
    await hand.toggle(sheet.getByRole('checkbox', { name: 'Mark all captures' }));
    await hand.carryOut(sheet.getByRole('combobox', { name: 'Assign to state' }), 'S0');
    await expect(sheet.getByRole('row', { name: /s3-shield-can/ })).toContainText('S0');
    await hand.carryOut(sheet.getByRole('combobox', { name: 'Assign to measuring point' }), 'receiver port');
    await expect(sheet.getByRole('row', { name: /s3-shield-can/ })).toContainText('receiver port');
    await hand.toggle(sheet.getByRole('checkbox', { name: 'Mark all captures' }));
    await hand.toggle(sheet.getByRole('checkbox', { name: 'Mark s3-shield-can.csv' }));
    await hand.carryOut(sheet.getByRole('combobox', { name: 'Assign to state' }), 'S1');
    await expect(sheet.getByRole('row', { name: /s3-shield-can/ })).toContainText('S1');
    await hand.press(sheet.getByRole('row', { name: /s0-as-built-1/ }).getByRole('button', { name: /on the bench/i }));
    await expect(sheet).toHaveCount(0);
    await idle(page);
  });

  await step('one spur is confirmed, one given to another source, one left to nobody', async () => {
    const rows = spurs(page).getByRole('row');
    await hand.row(spurs(page), rows.nth(1));
    await hand.press(slip(page).getByRole('button', { name: /^(Confirm|Leave it ambiguous|Nobody knows: enter)/ }));
    await expect(slip(page)).toContainText(/Confirmed|Entered/);
    await hand.row(spurs(page), rows.nth(2));
    await hand.carryOut(slip(page).getByRole('combobox', { name: 'It is another source' }), 'G VALVE-DRV');
    await expect(slip(page)).toContainText('Entered as VALVE-DRV');
    await hand.row(spurs(page), rows.nth(3));
    await hand.press(slip(page).getByRole('button', { name: /^Nobody knows/ }));
    await expect(slip(page)).toContainText('Entered: nobody knows');
  });

  await step('the two states are held against each other', async () => {
    await hand.screen('Fixes');
    await hand.press(page.getByRole('article', { name: 'State S1' }).getByRole('button', { name: /^S1/ }));
    await hand.press(button(/^Compare/));
    await idle(page);
    await expect(page.getByRole('grid', { name: 'Tracks' })).toBeVisible({ timeout: WORK_MS });
    await hand.press(page.getByRole('group', { name: 'Statuses' }).getByRole('button', { disabled: false }).first());
    await hand.row(
      page.getByRole('grid', { name: 'Tracks' }),
      page.getByRole('grid', { name: 'Tracks' }).getByRole('row').nth(1),
    );
    await expect(page.getByRole('application', { name: /^Earlier and later trace/ })).toBeVisible();
  });

  await step('a requirement is entered and the build is judged against it', async () => {
    await hand.screen('Sign-off');
    await idle(page);
    await hand.press(button(/^New requirement/));
    await hand.type(sheet.getByLabel('ID in your own documents'), 'RX-014');
    await hand.type(sheet.getByLabel('What it says'), 'No line above what a channel allows.');
    await hand.press(sheet.getByRole('button', { name: 'Enter the requirement' }));
    await idle(page);
    await expect(page.getByRole('heading', { name: 'The build does not hold yet.' })).toBeVisible({ timeout: WORK_MS });
    await expect(page.getByRole('table', { name: 'Verdicts' })).toContainText('falls short');
  });

  await step('what stays is accepted in writing, by name and with a reason', async () => {
    await hand.press(button(/^Accept/).first());
    await hand.type(sheet.getByLabel('Why it is accepted'), 'The receiver is blanked while this line is up.');
    await hand.type(sheet.getByLabel('Who accepts it'), 'receiver lead');
    await hand.press(sheet.getByRole('button', { name: 'Accept in writing' }));
    await idle(page);
    await expect(page.getByRole('region', { name: 'Accepted in writing' })).toContainText('receiver lead');
  });

  await step('the state is frozen, its packet written, and every result comes out again', async () => {
    await hand.press(button(/^Freeze and write the packet/));
    await hand.type(sheet.getByLabel('Frozen by'), 'A. Lead');
    await hand.press(sheet.getByRole('button', { name: 'Freeze this state' }));
    await expect(sheet.getByText('stands frozen, and nothing has changed since')).toBeVisible();
    await hand.press(sheet.getByRole('button', { name: /^Write the packet of revision 1/ }));
    await expect(sheet.getByRole('status').filter({ hasText: 'Written:' })).toBeVisible({ timeout: WORK_MS });
    await hand.close();
    await hand.press(button(/^Verify a packet/));
    await hand.press(button('Compute everything again'));
    await expect(page.getByText('Every file is as it was written')).toBeVisible({ timeout: WORK_MS });
    await hand.close();
  });

  await step('the history holds every step', async () => {
    await hand.screen('History');
    for (const word of ['source', 'capture', 'decision', 'requirement', 'disposition'])
      await expect(page.getByRole('row', { name: new RegExp(word) }).first()).toBeVisible();
  });
}

for (const [name, hand] of [
  ['with a pointer', pointer],
  ['by keyboard alone', keyboard],
] as const)
  test(`the whole job ${name}: from an empty register to a packet that computes again`, async ({ bench }) => {
    test.setTimeout(300_000);
    await wholeJob(bench.page, hand(bench.page));
    expect(bench.complaints).toEqual([]);
  });
