/** Steps of the one ink ramp: few lost is paper, many lost is ink, in both themes. */
export const RAMP_STEPS = 8;

/** A share of the way from one colour to another, as 8-bit red, green, blue. Colours as `#rrggbb`. */
export function mixed(from: string, to: string, share: number): readonly [number, number, number] {
  const part = (colour: string, i: number) => parseInt(colour.slice(1 + 2 * i, 3 + 2 * i), 16);
  const at = (i: number) => Math.round(part(from, i) + (part(to, i) - part(from, i)) * share);
  return [at(0), at(1), at(2)];
}
