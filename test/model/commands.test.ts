import { expect, test } from 'vitest';
import { capsOf, COMMANDS, keysOn, MENUS, type CommandEntry } from '../../src-main/model/commands.ts';

const entries: readonly CommandEntry[] = COMMANDS;

test('every command has an id of its own and stands in a menu that there is', () => {
  expect(new Set(entries.map(({ id }) => id)).size).toBe(entries.length);
  for (const { menu } of entries) expect(MENUS).toContain(menu);
});

test.each([true, false])('no key means two commands (Mac: %s)', (isMac) => {
  const keys = entries.flatMap((entry) => keysOn(entry, isMac));
  expect(keys.filter((key, i) => keys.indexOf(key) !== i)).toEqual([]);
});

test.each([
  ['Ctrl+Shift+z', false, ['Ctrl', 'Shift', 'Z']],
  ['Ctrl+Shift+z', true, ['⌘', '⇧', 'Z']],
  ['Alt+ArrowLeft', true, ['⌥', '←']],
  ['Alt+1', false, ['Alt', '1']],
  ['+', false, ['+']],
  ['F1', true, ['F1']],
  ['Escape', false, ['Esc']],
])('the key %s on a Mac (%s) is written %j', (key, isMac, caps) => {
  expect(capsOf(key, isMac)).toEqual(caps);
});
