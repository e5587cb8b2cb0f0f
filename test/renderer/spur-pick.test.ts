import { describe, expect, test } from 'vitest';
import { SpurPick } from '../../src-renderer/state/spur-pick.svelte.ts';

const pickOf = (order: readonly number[]) => new SpurPick(() => order);

describe('SpurPick', () => {
  test('the first row added takes the chosen one along, and a row added twice is out again', () => {
    const pick = pickOf([0, 1, 2, 3]);
    pick.toggle(2, 0);
    expect(pick.shown).toEqual([0, 2]);
    pick.toggle(2, 2);
    expect(pick.shown).toEqual([0]);
  });

  test('a run holds every row between its ends in the order of the list, either way round', () => {
    const order = [5, 3, 9, 1, 7];
    const down = pickOf(order);
    down.extendTo(1, 3);
    expect(down.shown).toEqual([3, 9, 1]);
    down.extendTo(5, 1);
    expect(down.shown).toEqual([5, 3]);
  });

  test('rows that the filter leaves out are not acted upon', () => {
    const order = { now: [0, 1, 2, 3] };
    const pick = new SpurPick(() => order.now);
    pick.all();
    order.now = [1, 3];
    expect(pick.shown).toEqual([1, 3]);
    expect(pick.size).toBe(4);
  });

  test('cleared, nothing is picked and the next run begins anew', () => {
    const pick = pickOf([0, 1, 2]);
    pick.all();
    pick.clear();
    expect(pick.size).toBe(0);
    pick.extendTo(2, 1);
    expect(pick.shown).toEqual([1, 2]);
  });
});
