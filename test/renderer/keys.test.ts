import { describe, expect, test } from 'vitest';
import { bound, joinedKeys, Keys } from '../../src-renderer/state/keys.svelte.ts';
import type { Command } from '../../src-renderer/state/keys.svelte.ts';

const press = (key: string, more: Partial<KeyboardEvent> = {}) => ({
  key,
  ctrlKey: false,
  metaKey: false,
  shiftKey: false,
  altKey: false,
  ...more,
});

function recorder() {
  const log: string[] = [];
  const command = (key: string, label: string): Command => ({
    keys: [key],
    show: [key],
    label,
    run: () => log.push(label),
    group: 'test',
  });
  return { log, command };
}

describe('Keys', () => {
  test('the layer added last has a key before those under it, and gives it back when it goes', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    keys.use([command('a', 'page')]);
    const off = keys.use([command('a', 'screen')]);
    keys.press(press('a'), false);
    off();
    keys.press(press('a'), false);
    expect(log).toEqual(['screen', 'page']);
  });

  test('a sheet hides the keys under it', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    keys.use([command('a', 'page')]);
    keys.use([command('Escape', 'close')], true);
    expect(keys.press(press('a'), false)).toBe(false);
    expect(keys.press(press('Escape'), false)).toBe(true);
    expect(log).toEqual(['close']);
  });

  test('a screen drawn anew under an open sheet gets its keys only when the sheet closes', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    const close = keys.use([command('Escape', 'close')], true);
    keys.use([command('Escape', 'choose none'), command('Enter', 'confirm')]);
    expect(keys.press(press('Enter'), false)).toBe(false);
    keys.press(press('Escape'), false);
    close();
    keys.press(press('Enter'), false);
    expect(log).toEqual(['close', 'confirm']);
  });

  test('letters and Enter typed into a field write and do not act; Escape and F1 still act', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    keys.use([
      command('a', 'letter'),
      command('Enter', 'enter'),
      command('Escape', 'escape'),
      command('F1', 'help'),
      command('Ctrl+z', 'undo'),
    ]);
    for (const key of ['a', 'Enter', 'Escape', 'F1']) keys.press(press(key), true);
    keys.press(press('z', { ctrlKey: true }), true);
    expect(log).toEqual(['escape', 'help']);
  });

  test.each([
    [false, 'ctrlKey', 'metaKey'],
    [true, 'metaKey', 'ctrlKey'],
  ] as const)('on a Mac (%s) undo and redo are had by %s and not by %s', (isMac, own, other) => {
    const keys = new Keys(isMac);
    const { log, command } = recorder();
    keys.use([command('Ctrl+z', 'undo'), command('Ctrl+Shift+z', 'redo'), command('z', 'letter')]);
    keys.press(press('z', { [own]: true }), false);
    keys.press(press('Z', { [own]: true, shiftKey: true }), false);
    expect(keys.press(press('z', { [other]: true }), false)).toBe(false);
    expect(log).toEqual(['undo', 'redo']);
  });

  test('with Alt the key itself is meant, whatever sign the keyboard writes', () => {
    const keys = new Keys(true);
    const { log, command } = recorder();
    keys.use([command('Alt+1', 'screen'), command('Ctrl+Alt+n', 'window')]);
    keys.press(press('¡', { altKey: true, code: 'Digit1' }), false);
    keys.press(press('Dead', { altKey: true, metaKey: true, code: 'KeyN' }), false);
    keys.press(press('1', { altKey: true, code: 'Digit1' }), false);
    expect(log).toEqual(['screen', 'window', 'screen']);
  });

  test('a command of the table brings its words and its keys; on a Mac they are the Mac’s', () => {
    const made = (isMac: boolean) => bound('redo', () => undefined, { isMac });
    expect(made(false)).toMatchObject({
      label: 'redo',
      group: 'Edit',
      show: ['Ctrl', 'Shift', 'Z'],
      keys: ['Ctrl+Shift+z', 'Ctrl+y'],
    });
    expect(made(true)).toMatchObject({ show: ['⌘', '⇧', 'Z'], keys: ['Ctrl+Shift+z'] });
  });

  test('where a screen has a command of the shell its own way, it stands once and is the screen’s', () => {
    const keys = new Keys();
    const log: string[] = [];
    keys.use([bound('captures.open', () => log.push('shell')), bound('help', () => undefined)]);
    keys.use([bound('captures.open', () => log.push('bench'))]);
    expect(keys.all.map(({ id }) => id)).toEqual(['help', 'captures.open']);
    keys.runById('captures.open');
    expect(log).toEqual(['bench']);
  });

  test('a menu outside the page runs what can be used and nothing else; a sheet that is open keeps all of it away', () => {
    const keys = new Keys();
    const log: string[] = [];
    let canUndo = false;
    keys.use([
      bound('undo', () => log.push('undo'), { can: () => canUndo }),
      bound('registers', () => log.push('registers')),
    ]);
    keys.runById('undo');
    expect(keys.usable).toEqual(['registers']);
    canUndo = true;
    keys.runById('undo');
    keys.runById('nothing of ours');
    expect(keys.usable).toEqual(['undo', 'registers']);
    keys.use([{ keys: ['Escape'], show: ['Esc'], label: 'close', run: () => undefined, group: 'Sheet' }], true);
    keys.runById('registers');
    expect(keys.usable).toEqual([]);
    expect(log).toEqual(['undo']);
  });

  test('a key that needs shift on some keyboards is still itself', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    keys.use([command('+', 'nearer'), command('Shift+ArrowLeft', 'left')]);
    keys.press(press('+', { shiftKey: true }), false);
    keys.press(press('ArrowLeft', { shiftKey: true }), false);
    expect(log).toEqual(['nearer', 'left']);
  });

  test('keys without words stand before the words of the next', () => {
    const { command } = recorder();
    expect(joinedKeys([command('←', ''), command('→', 'next spur'), command('0', 'nobody knows')])).toEqual([
      { caps: ['←', '→'], label: 'next spur' },
      { caps: ['0'], label: 'nobody knows' },
    ]);
  });
});
