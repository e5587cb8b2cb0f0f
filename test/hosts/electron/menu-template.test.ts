import type { MenuItemConstructorOptions } from 'electron';
import { expect, test, vi } from 'vitest';
import { menuTemplate } from '../../../src-main/hosts/electron/menu-template.ts';
import { COMMANDS } from '../../../src-main/model/commands.ts';

const made = (isMac: boolean, usable: readonly string[] = [], choose: (id: string) => void = () => undefined) =>
  menuTemplate({ isMac, usable: new Set(usable), choose });
const itemsOf = (template: readonly MenuItemConstructorOptions[]) =>
  template.flatMap(({ submenu }) => (Array.isArray(submenu) ? submenu : []));
const item = (template: readonly MenuItemConstructorOptions[], id: string) =>
  itemsOf(template).find((one) => one.id === id)!;

test('the bar has the platform’s own menus at their customary places', () => {
  const names = (isMac: boolean) => made(isMac).map(({ label, role }) => label ?? role);
  expect(names(false)).toEqual(['File', 'Edit', 'View', 'Go', 'Bench', 'windowMenu', 'Help']);
  expect(names(true)).toEqual(['appMenu', 'File', 'Edit', 'View', 'Go', 'Bench', 'windowMenu', 'Help']);
  const roles = (isMac: boolean) => itemsOf(made(isMac)).flatMap(({ role }) => role ?? []);
  expect(roles(false)).toContain('quit');
  expect(roles(true)).not.toContain('quit'); // it stands in the menu of the program itself
  for (const role of ['cut', 'copy', 'paste', 'selectAll'] as const) expect(roles(true)).toContain(role);
});

test.each([true, false])('every command of the table stands in the bar once, with its words (Mac: %s)', (isMac) => {
  const own = itemsOf(made(isMac)).filter(({ id }) => id !== undefined);
  expect(own.map(({ id, label }) => [id, label]).sort()).toEqual(COMMANDS.map(({ id, words }) => [id, words]).sort());
});

test('keys are the command key’s on a Mac and Control’s elsewhere', () => {
  expect(item(made(true), 'undo').accelerator).toBe('CmdOrCtrl+Z');
  expect(item(made(true), 'redo').accelerator).toBe('CmdOrCtrl+Shift+Z');
  expect(item(made(true), 'screen.plan').accelerator).toBe('CmdOrCtrl+4');
  expect(item(made(false), 'screen.plan').accelerator).toBe('Alt+4');
  expect(item(made(false), 'help').accelerator).toBe('F1');
});

test('a bare letter is never taken from a field that is typed into', () => {
  for (const one of itemsOf(made(false)))
    if (one.accelerator !== undefined) expect(one.registerAccelerator, one.id).toBe(false);
  for (const one of itemsOf(made(true)))
    if (one.accelerator !== undefined) expect(one.accelerator, one.id).toMatch(/^(CmdOrCtrl|Alt)\+|^F\d+$/);
  expect(item(made(true), 'registers').accelerator).toBeUndefined();
});

test('what cannot be used now is grey and says when it can; what is chosen is told by its id', () => {
  const choose = vi.fn();
  const template = made(false, ['undo'], choose);
  expect([item(template, 'undo').enabled, item(template, 'redo').enabled]).toEqual([true, false]);
  expect(item(template, 'redo').toolTip).toBe('When a step was taken back.');
  (item(template, 'undo').click as () => void)();
  expect(choose).toHaveBeenCalledExactlyOnceWith('undo');
});
