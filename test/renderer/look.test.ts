import { beforeEach, describe, expect, test } from 'vitest';
import { Look } from '../../src-renderer/state/look.svelte.ts';

let kept: string | null = null;
const look = () => new Look(kept, (text) => (kept = text));
beforeEach(() => {
  kept = null;
  Object.assign(globalThis, { matchMedia: () => ({ matches: false, addEventListener: () => {} }) });
});

describe('Look', () => {
  test('what was chosen is there again in the next window', () => {
    look().choose({ theme: 'dark', contrast: 'high', room: 'projector', readIn: 'MHz' });
    const { theme, contrast, room, readIn } = look();
    expect({ theme, contrast, room, readIn }).toEqual({
      theme: 'dark',
      contrast: 'high',
      room: 'projector',
      readIn: 'MHz',
    });
  });

  test('a unit of two words comes back, and what cannot be read gives the system’s way', () => {
    look().choose({ readIn: 'as fits', theme: 'light' });
    expect(look().readIn).toBe('as fits');
    kept = 'nonsense';
    expect(look().theme).toBe('system');
    kept = 'dark high';
    expect(look()).toMatchObject({ theme: 'dark', contrast: 'high', room: 'desk' });
  });
});
