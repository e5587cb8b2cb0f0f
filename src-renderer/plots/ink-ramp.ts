/** How many steps of ink between paper and full ink: as many as can be told apart on a projector and in grey print. */
export const RAMP_STEPS = 8;

type Rgb = readonly [red: number, green: number, blue: number];

/**
 * Colours from paper (weak) to ink (strong) in equal steps of lightness; the last is ink itself. No hue takes part: a hue is a source.
 *
 * @param paper @param ink colours as `#rrggbb`
 */
export function inkRamp(paper: string, ink: string, steps = RAMP_STEPS): readonly Rgb[] {
  const [a, b] = [parseHex(paper), parseHex(ink)];
  return Array.from({ length: steps }, (_, i) => {
    const share = steps === 1 ? 1 : i / (steps - 1);
    return [0, 1, 2].map((c) => Math.round(a[c]! + share * (b[c]! - a[c]!))) as unknown as Rgb;
  });
}

/** Which step of the ramp a level belongs to; below the range the first, above it the last, NaN has none (null). */
export function rampStep(levelDb: number, lowDb: number, highDb: number, steps = RAMP_STEPS): number | null {
  if (Number.isNaN(levelDb)) return null;
  const at = Math.floor(((levelDb - lowDb) / (highDb - lowDb)) * steps);
  return Math.min(steps - 1, Math.max(0, at));
}

function parseHex(colour: string): Rgb {
  const match = /^#([\da-f]{2})([\da-f]{2})([\da-f]{2})$/i.exec(colour.trim());
  return match === null ? [0, 0, 0] : ([1, 2, 3].map((i) => parseInt(match[i]!, 16)) as unknown as Rgb);
}
