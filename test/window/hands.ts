/** One job done with a pointer and the same job done without: a script of acts, and two ways to carry them out. */
import type { Locator, Page } from '@playwright/test';
import { expect } from './fixture.ts';
import { tab, tabTo, typeInto, type Upload } from './steps.ts';

export interface Hand {
  screen(name: string): Promise<void>;
  /** A button or anything else that is pressed. */
  press(button: Locator): Promise<void>;
  /** Leaves this text in a field. */
  type(field: Locator, text: string): Promise<void>;
  /** The option that begins so. */
  choose(select: Locator, beginning: string): Promise<void>;
  /** An option of a list that carries out what is chosen. */
  carryOut(select: Locator, beginning: string): Promise<void>;
  /** Sets a box to what it is not yet. */
  toggle(box: Locator): Promise<void>;
  /** Makes this row of a grid the chosen one. */
  row(grid: Locator, row: Locator): Promise<void>;
  /** The button opens the platform's dialog of files, which is answered. */
  files(button: Locator, files: Upload[]): Promise<void>;
  close(): Promise<void>;
}

const optionThatBegins = async (select: Locator, beginning: string): Promise<string> => {
  const labels = await select.locator('option').allInnerTexts();
  const found = labels.find((label) => label.trim().startsWith(beginning));
  if (found === undefined) throw new Error(`no option begins with ${beginning}: ${labels.join(', ')}`);
  return found;
};

export function pointer(page: Page): Hand {
  const choose = async (select: Locator, beginning: string) => {
    await select.selectOption({ label: await optionThatBegins(select, beginning) });
  };
  return {
    screen: (name) => tab(page, name).click(),
    press: (button) => button.click(),
    type: (field, text) => field.fill(text),
    choose,
    carryOut: choose,
    toggle: (box) => box.click(),
    row: (_, row) => row.click(),
    async files(button, files) {
      const [chooser] = await Promise.all([page.waitForEvent('filechooser'), button.click()]);
      await chooser.setFiles(files);
    },
    close: () => page.getByRole('dialog').getByRole('button', { name: 'Close' }).click(),
  };
}

/** Keys alone. A button that names its key is worked by that key, so that a key shown and not heard is found. */
export function keyboard(page: Page): Hand {
  const press = async (button: Locator) => {
    await expect(button).toBeEnabled();
    const shortcut = await button.getAttribute('aria-keyshortcuts');
    const isTyping = await page.evaluate(() => document.activeElement?.matches('input, select, textarea') ?? false);
    if (shortcut !== null && !isTyping)
      return page.keyboard.press(shortcut.length === 1 ? shortcut.toLowerCase() : shortcut);
    await tabTo(page, button);
    await page.keyboard.press('Enter');
  };
  const pass = async (select: Locator, beginning: string) => {
    await tabTo(page, select);
    const goal = await optionThatBegins(select, beginning);
    const shown = () =>
      select.evaluate((element) => (element as HTMLSelectElement).selectedOptions[0]?.innerText ?? '');
    await page.keyboard.press('Home');
    for (let i = 0; (await shown()) !== goal; i++) {
      if (i > 40) throw new Error(`arrows do not lead to ${beginning}`);
      await page.keyboard.press('ArrowDown');
    }
  };
  return {
    async screen(name) {
      await page.keyboard.press(
        `Alt+${['Bench', 'Sources', 'Fixes', 'Plan', 'Sign-off', 'History'].indexOf(name) + 1}`,
      );
    },
    press,
    type: (field, text) => typeInto(page, field, text),
    choose: pass,
    async carryOut(select, beginning) {
      await pass(select, beginning);
      await page.keyboard.press('Enter');
    },
    async toggle(box) {
      await tabTo(page, box);
      await page.keyboard.press('Space');
    },
    async row(grid, row) {
      await tabTo(page, grid);
      for (let i = 0; i < 400; i++) {
        if ((await row.count()) > 0 && (await row.getAttribute('aria-selected')) === 'true') return;
        await page.keyboard.press('ArrowDown');
      }
      throw new Error('arrows do not lead to the row');
    },
    async files(button, files) {
      const [chooser] = await Promise.all([page.waitForEvent('filechooser'), press(button)]);
      await chooser.setFiles(files);
    },
    close: () => page.keyboard.press('Escape'),
  };
}
