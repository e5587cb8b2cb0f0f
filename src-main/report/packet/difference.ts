/** Where two results part: the way to it, and what stands there. */
export interface Difference {
  readonly place: string;
  readonly found: string;
  readonly expected: string;
}

/** Names of fields that hold sentences: another version may say the same in other words. */
const SENTENCES = new Set(['why', 'warnings', 'sentence', 'reason', 'reasons', 'heading', 'evidence', 'name']);

/**
 * The first place where two plain values differ, or null.
 *
 * @param tolerance null: to the last bit. Else numbers may differ by this share of their size (or by this, where that is smaller than
 *   one), sentences are not compared, and fields that only one of them has are passed over
 */
export function firstDifference(
  found: unknown,
  expected: unknown,
  tolerance: number | null,
  place = '',
): Difference | null {
  if (typeof found === 'number' && typeof expected === 'number') {
    if (Object.is(found, expected)) return null;
    const isClose = tolerance !== null && Math.abs(found - expected) <= tolerance * Math.max(1, Math.abs(expected));
    return isClose ? null : different(place, found, expected);
  }
  if (Array.isArray(found) && Array.isArray(expected)) {
    if (found.length !== expected.length)
      return { place, found: `${found.length} entries`, expected: `${expected.length} entries` };
    for (const [i, value] of expected.entries()) {
      const inner = firstDifference(found[i], value, tolerance, `${place}[${i}]`);
      if (inner !== null) return inner;
    }
    return null;
  }
  if (isObject(found) && isObject(expected)) {
    const names =
      tolerance === null
        ? new Set([...Object.keys(expected), ...Object.keys(found)])
        : Object.keys(expected).filter((name) => name in found && !SENTENCES.has(name));
    for (const name of names) {
      const inner = firstDifference(found[name], expected[name], tolerance, place === '' ? name : `${place}.${name}`);
      if (inner !== null) return inner;
    }
    return null;
  }
  return Object.is(found, expected) ? null : different(place, found, expected);
}

function different(place: string, found: unknown, expected: unknown): Difference {
  return { place, found: shown(found), expected: shown(expected) };
}

function shown(value: unknown): string {
  const text = value === undefined ? 'nothing' : typeof value === 'number' ? String(value) : JSON.stringify(value);
  return text.length > 120 ? `${text.slice(0, 120)}…` : text;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
