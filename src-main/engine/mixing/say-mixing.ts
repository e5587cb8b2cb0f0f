/** A frequency for a sentence: five digits are enough to find it, the figures themselves stand in their fields. */
export function frequencyText(hz: number): string {
  if (hz >= 1e6) return `${(hz / 1e6).toFixed(4)} MHz`;
  if (hz >= 1e3) return `${(hz / 1e3).toFixed(3)} kHz`;
  return `${hz.toFixed(1)} Hz`;
}

export function offsetText(hz: number): string {
  const size = Math.abs(hz);
  return `${hz < 0 ? '−' : '+'}${size >= 100 ? size.toFixed(0) : size.toFixed(1)} Hz`;
}

/** `0.0004`, `3e-7`: one digit is all a chance is good for. */
export function chanceText(chance: number): string {
  return chance >= 1e-3 ? chance.toPrecision(1) : chance.toExponential(0);
}

export function times(order: number): string {
  return order === 1 ? '' : `${order} × `;
}
