/**
 * JSON that keeps every number: NaN and the infinities, which JSON lacks, are written as `{"$number": "NaN"}`.
 * Fields come out in the order they have; −0 comes back as 0.
 */
export function toJson(value: unknown): string {
  return holdsOddNumber(value) ? JSON.stringify(value, markOdd) : JSON.stringify(value);
}

/** Reads back what toJson wrote. @throws SyntaxError */
export function fromJson<T>(text: string): T {
  // a reviver visits every value: only where there is something to revive
  return (text.includes('"$number"') ? JSON.parse(text, reviveOdd) : JSON.parse(text)) as T;
}

/** JSON with the fields of every object in alphabetical order: equal values give equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) => {
    if (typeof inner === 'number') return markOdd('', inner);
    if (typeof inner !== 'object' || inner === null || Array.isArray(inner)) return inner;
    return Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}

function holdsOddNumber(value: unknown): boolean {
  if (typeof value === 'number') return !Number.isFinite(value);
  if (typeof value !== 'object' || value === null) return false;
  if (Array.isArray(value)) return value.some(holdsOddNumber);
  // no list of values is made: this visits every number of a large result
  for (const name in value) if (holdsOddNumber((value as Record<string, unknown>)[name])) return true;
  return false;
}

function markOdd(_: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isFinite(value) ? { $number: String(value) } : value;
}

function reviveOdd(_: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || !('$number' in value)) return value;
  return Number(value.$number);
}
