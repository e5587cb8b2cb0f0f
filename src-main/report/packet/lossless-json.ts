/**
 * JSON that keeps every double: NaN and the infinities as `{"$number":"NaN"}`, −0 as `{"$number":"-0"}`. Two blanks a level and a line
 * end at the end, so that equal values give equal bytes and a person can read them.
 */
export function losslessJson(value: unknown): string {
  return `${JSON.stringify(value, markOdd, 2)}\n`;
}

/** Reads back what losslessJson wrote. @throws SyntaxError */
export function fromLosslessJson(text: string): unknown {
  return text.includes('"$number"') ? JSON.parse(text, reviveOdd) : JSON.parse(text);
}

function markOdd(_: string, value: unknown): unknown {
  if (typeof value !== 'number') return value;
  if (Object.is(value, -0)) return { $number: '-0' };
  return Number.isFinite(value) ? value : { $number: String(value) };
}

function reviveOdd(_: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || !('$number' in value)) return value;
  return Number(value.$number);
}
