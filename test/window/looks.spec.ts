/** Every screen and every sheet of the demonstration, held against axe; what depends on the look alone, in each look. */
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect, test } from './fixture.ts';
import { idle, openDemo, serious, spurs, tab, WORK_MS } from './steps.ts';

const OTHER_LOOKS = [
  { theme: 'dark', contrast: null },
  { theme: 'light', contrast: 'high' },
  { theme: 'dark', contrast: 'high' },
] as const;

/** All looks for every sheet take minutes; without this each sheet is seen in light and in one other look, in turn. */
const EVERY_LOOK = process.env['SPURLEDGER_EVERY_LOOK'] !== undefined;
let turn = 0;

/** Findings on what is shown now: all rules as it is, and the rule of contrast, which alone depends on it, in other looks. */
async function found(page: Page): Promise<string[]> {
  const all = (await serious(page)).map((finding) => `light: ${finding}`);
  const looks = EVERY_LOOK ? OTHER_LOOKS : [OTHER_LOOKS[turn++ % OTHER_LOOKS.length]!];
  for (const look of looks) {
    await page.evaluate(({ theme, contrast }) => {
      const { dataset } = document.documentElement;
      dataset['theme'] = theme;
      if (contrast === null) delete dataset['contrast'];
      else dataset['contrast'] = contrast;
    }, look);
    const { violations } = await new AxeBuilder({ page }).withRules(['color-contrast']).analyze();
    for (const { nodes } of violations)
      all.push(
        ...nodes.map(
          (node) => `${look.theme} ${look.contrast ?? ''}: ${node.target.join(' ')} ${node.html.slice(0, 90)}`,
        ),
      );
  }
  await page.evaluate(() => {
    document.documentElement.dataset['theme'] = 'light';
    delete document.documentElement.dataset['contrast'];
  });
  return all;
}

const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name });
const key = (name: string) => (page: Page) => page.keyboard.press(name);

/** Screens in the order they are visited, each with the sheets and forms that open over it; Escape closes each. */
const SCREENS: readonly {
  readonly name: string;
  readonly ready: (page: Page) => Promise<void>;
  readonly sheets: Readonly<Record<string, (page: Page) => Promise<void>>>;
}[] = [
  {
    name: 'Bench',
    async ready(page) {
      await page.keyboard.press('ArrowRight');
      await expect(page.getByRole('complementary', { name: 'The chosen spur' })).toContainText('Spur 1');
    },
    sheets: {
      'every mark and key': key('F1'),
      'floor and warnings': key('i'),
      condition: key('k'),
      captures: key('c'),
      registers: key('g'),
      'go to': key('/'),
      look: key('d'),
      async 'calibration chain'(page) {
        await page.keyboard.press('i');
        await button(page, 'Calibration chain').click();
      },
      async 'watched folders'(page) {
        await page.keyboard.press('c');
        await button(page, 'Watched folders').click();
      },
    },
  },
  {
    name: 'Sources',
    ready: (page) => expect(page.getByRole('row', { name: /^A 5V-MAIN/ })).toBeVisible(),
    sheets: { 'a new source': key('a') },
  },
  {
    name: 'Fixes',
    async ready(page) {
      await page.getByRole('article', { name: 'State S3' }).getByRole('button', { name: /^S3/ }).click();
      await page.keyboard.press('c');
      await idle(page);
      await expect(page.getByRole('grid', { name: 'Tracks' })).toBeVisible({ timeout: WORK_MS });
    },
    sheets: {
      'a state': key('s'),
      'a point': key('p'),
      'an event': key('e'),
      places: key('m'),
      async 'all lines'(page) {
        await page.keyboard.press('t');
        await idle(page);
        await expect(page.getByRole('grid', { name: 'Lines through all states' })).toBeVisible({ timeout: WORK_MS });
      },
    },
  },
  {
    name: 'Plan',
    async ready(page) {
      await expect(page.getByRole('heading', { level: 1 })).toContainText('may be lost', { timeout: WORK_MS });
      await idle(page);
    },
    sheets: {},
  },
  {
    name: 'Sign-off',
    async ready(page) {
      await expect(page.getByRole('table', { name: 'Verdicts' })).toBeVisible({ timeout: WORK_MS });
      await page.keyboard.press('ArrowDown');
    },
    sheets: {
      'a requirement': key('n'),
      'limit lines': key('l'),
      'an acceptance': key('w'),
      async 'a band'(page) {
        await button(page, /^middle/).click();
      },
      packet: key('p'),
      'verify a packet': key('y'),
      're-check': key('k'),
      review: key('v'),
    },
  },
  { name: 'History', ready: (page) => expect(page.getByRole('row').nth(1)).toBeVisible(), sheets: {} },
];

test('nothing serious on any screen or sheet: light, dark, and high contrast in both', async ({
  bench: { page, complaints },
}) => {
  test.setTimeout(300_000);
  await openDemo(page);
  await expect(spurs(page)).toBeVisible();
  for (const { name, ready, sheets } of SCREENS)
    await test.step(name, async () => {
      await tab(page, name).click();
      await ready(page);
      expect.soft(await found(page), name).toEqual([]);
      for (const [sheet, open] of Object.entries(sheets)) {
        await open(page);
        const shown = page
          .getByRole('dialog')
          .or(page.locator('form.entry'))
          .or(page.getByRole('grid', { name: 'Lines through all states' }));
        await expect(shown.first(), sheet).toBeVisible();
        expect.soft(await found(page), `${name}: ${sheet}`).toEqual([]);
        await page.keyboard.press('Escape');
        await expect(page.getByRole('dialog')).toHaveCount(0);
        await expect(page.locator('form.entry')).toHaveCount(0);
      }
    });
  expect(complaints).toEqual([]);
});
