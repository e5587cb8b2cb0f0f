import { describe, expect, test } from 'vitest';
import { joinedKeys, Keys } from '../../src-renderer/state/keys.svelte.ts';
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

  test('undo and redo differ by the shift key, on the command key too', () => {
    const keys = new Keys();
    const { log, command } = recorder();
    keys.use([command('Ctrl+z', 'undo'), command('Ctrl+Shift+z', 'redo')]);
    keys.press(press('z', { ctrlKey: true }), false);
    keys.press(press('Z', { metaKey: true, shiftKey: true }), false);
    expect(log).toEqual(['undo', 'redo']);
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
