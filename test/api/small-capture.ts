/** Seeded noise in [0, 1): the generator of Numerical Recipes' "quick and dirty" kind, good enough for test data. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
}

export interface SmallCapture {
  readonly seed?: number;
  readonly points?: number;
  /** Frequency and height over the mean noise power in dB of each line. */
  readonly lines?: readonly (readonly [frequencyHz: number, overFloorDb: number])[];
  readonly floorDbm?: number;
  readonly head?: readonly string[];
}

export const START_HZ = 100_000;
export const STEP_HZ = 500;
export const RBW_HZ = 1000;

/** All harmonics of a fundamental inside the small capture's span, at one height. */
export function comb(fundamentalHz: number, overFloorDb: number, points = 6000): [number, number][] {
  const out: [number, number][] = [];
  for (let n = 1; n * fundamentalHz < START_HZ + points * STEP_HZ; n++) {
    if (n * fundamentalHz > START_HZ) out.push([n * fundamentalHz, overFloorDb]);
  }
  return out;
}

/**
 * A spectrum as a text file: chi-square noise of 16 power averages in a Gaussian filter of 1 kHz, and lines through that filter.
 * Neighbouring points are independent, which a real sweep at half the RBW is not; good enough for tests of plumbing.
 */
export function smallCapture({
  seed = 1,
  points = 6000,
  lines = [],
  floorDbm = -90,
  head,
}: SmallCapture = {}): Uint8Array {
  const random = seeded(seed);
  const rows = (head ?? ['RBW,1000 Hz', 'Averages,16', 'Averaging,power', 'Frequency (Hz),Level (dBm)']).slice();
  for (let i = 0; i < points; i++) {
    const frequencyHz = START_HZ + i * STEP_HZ;
    let noise = 0;
    for (let k = 0; k < 16; k++) noise -= Math.log(random());
    let power = noise / 16;
    for (const [lineHz, overFloorDb] of lines) {
      const offset = (frequencyHz - lineHz) / RBW_HZ;
      if (Math.abs(offset) < 4) power += 10 ** (overFloorDb / 10) * 2 ** (-4 * offset * offset);
    }
    rows.push(`${frequencyHz},${(floorDbm + 10 * Math.log10(power)).toFixed(3)}`);
  }
  return new TextEncoder().encode(`${rows.join('\n')}\n`);
}
