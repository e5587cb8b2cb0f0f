import { Refused } from '../api-problem.ts';

/** Refuses a reference to something that is not in the register; no reference (null, or left out) passes. */
export function mustBeThere(
  store: { readonly get: (id: number) => unknown },
  id: number | null | undefined,
  what: string,
): void {
  if (id === null || id === undefined || store.get(id) !== null) return;
  throw new Refused(`There is no ${what} ${id} in this register; it may have been removed in another window.`);
}
