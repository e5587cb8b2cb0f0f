/** Seeded randomness of the campaigns; the same seed gives the same capture on every machine. */
export interface Random {
  /** 0 ≤ value < 1. */
  uniform(): number;
  /** Uniform between two bounds. */
  between(low: number, high: number): number;
  /** Uniform in the logarithm. */
  logBetween(low: number, high: number): number;
  /** Whole number, both bounds included. */
  integer(low: number, high: number): number;
  chance(probability: number): boolean;
  pick<T>(items: readonly T[]): T;
  /** Standard normal. */
  normal(): number;
  /** Fills two arrays with the parts of complex normals of unit mean power. */
  fillComplexNormal(re: Float64Array, im: Float64Array): void;
}

/** Small fast counter generator by C. Doty-Humphrey (public domain "sfc32"), 128 bits of state. */
export function seededRandom(seed: number): Random {
  let a = seed | 0;
  let b = (seed / 0x1_0000_0000) | 0;
  let c = 0x9e3779b9 | 0;
  let counter = 1;
  const bits = (): number => {
    const out = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + out) | 0;
    return out >>> 0;
  };
  for (let i = 0; i < 16; i++) bits();
  const uniform = (): number => bits() / 0x1_0000_0000;
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  const between = (low: number, high: number): number => low + (high - low) * uniform();
  return {
    uniform,
    between,
    logBetween: (low, high) => low * (high / low) ** uniform(),
    integer: (low, high) => low + Math.floor((high - low + 1) * uniform()),
    chance: (probability) => uniform() < probability,
    pick: (items) => items[Math.floor(items.length * uniform())]!,
    normal,
    fillComplexNormal(re, im) {
      for (let i = 0; i < re.length; i++) {
        const radius = Math.sqrt(-Math.log(1 - bits() / 0x1_0000_0000));
        const angle = (2 * Math.PI * bits()) / 0x1_0000_0000;
        re[i] = radius * Math.cos(angle);
        im[i] = radius * Math.sin(angle);
      }
    },
  };
}
