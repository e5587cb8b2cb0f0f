import { canonicalJson } from './json.ts';

/** Most fields that are named in one line. */
const NAMED = 4;

/**
 * Which fields of an entry a change touched, in words for the history: `nominalHz, notes`, inner fields as `condition.mode`.
 * '' where either is no plain object, or nothing differs.
 */
export function changedFields(before: unknown, after: unknown): string {
  const names = differing(before, after, '');
  const more = names.length - NAMED;
  return more > 0 ? `${names.slice(0, NAMED).join(', ')} and ${more} more` : names.join(', ');
}

function differing(before: unknown, after: unknown, path: string): string[] {
  if (!isPlain(before) || !isPlain(after)) return path === '' ? [] : [path];
  const names = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...names].flatMap((name) =>
    canonicalJson([before[name]]) === canonicalJson([after[name]])
      ? []
      : differing(before[name], after[name], path === '' ? name : `${path}.${name}`),
  );
}

function isPlain(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
