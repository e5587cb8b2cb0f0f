/**
 * JSON that keeps every double: NaN and the infinities as `{"$number":"NaN"}`, −0 as `{"$number":"-0"}`,
 * and columns of doubles as `{"$doubles":[…]}`. Fields in alphabetical order,
 * two blanks a level and a line end at the end: equal values give equal bytes, and a person can read them.
 */
export function losslessJson(value: unknown): string {
  return `${JSON.stringify(value, markOdd, 2)}\n`;
}

/** Reads back what losslessJson wrote. @throws SyntaxError */
export function fromLosslessJson(text: string): unknown {
  return /"\$(number|doubles)"/.test(text) ? JSON.parse(text, reviveOdd) : JSON.parse(text);
}

function markOdd(_: string, value: unknown): unknown {
  if (value instanceof Float64Array) return { $doubles: [...value] };
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return inOrder(value);
  if (typeof value !== 'number') return value;
  if (Object.is(value, -0)) return { $number: '-0' };
  return Number.isFinite(value) ? value : { $number: String(value) };
}

function reviveOdd(_: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if ('$number' in value) return Number(value.$number);
  return '$doubles' in value && Array.isArray(value.$doubles) ? Float64Array.from(value.$doubles as number[]) : value;
}

function inOrder(value: object): object {
  const names = Object.keys(value);
  const sorted = [...names].sort();
  if (sorted.every((name, i) => name === names[i])) return value;
  return Object.fromEntries(sorted.map((name) => [name, (value as Record<string, unknown>)[name]]));
}
