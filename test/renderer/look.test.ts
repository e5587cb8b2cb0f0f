import { beforeEach, describe, expect, test } from 'vitest';
import { Look } from '../../src-renderer/state/look.svelte.ts';

const kept = new Map<string, string>();
beforeEach(() => {
  kept.clear();
  Object.assign(globalThis, {
    matchMedia: () => ({ matches: false, addEventListener: () => {} }),
    localStorage: {
      getItem: (key: string) => kept.get(key) ?? null,
      setItem: (key: string, value: string) => kept.set(key, value),
    },
  });
});

describe('Look', () => {
  test('what was chosen is there again in the next window', () => {
    new Look().choose({ theme: 'dark', contrast: 'high', room: 'projector', readIn: 'MHz' });
    const { theme, contrast, room, readIn } = new Look();
    expect({ theme, contrast, room, readIn }).toEqual({
      theme: 'dark',
      contrast: 'high',
      room: 'projector',
      readIn: 'MHz',
    });
  });

  test('a unit of two words comes back, and what cannot be read gives the system’s way', () => {
    new Look().choose({ readIn: 'as fits', theme: 'light' });
    expect(new Look().readIn).toBe('as fits');
    kept.set('look', 'nonsense');
    expect(new Look().theme).toBe('system');
    kept.set('look', 'dark high');
    expect(new Look()).toMatchObject({ theme: 'dark', contrast: 'high', room: 'desk' });
  });
});
