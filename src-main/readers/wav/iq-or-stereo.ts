import type { ByteSource } from '../../model/byte-source.ts';
import { readSamples } from '../../model/read-samples.ts';
import type { Recording } from '../../model/recording.ts';

/** Frames looked at: at 12 kHz five seconds. */
const FRAMES = 65_536;
/** Both arms of a mixer carry the same power within the imbalance any receiver would be ashamed of. Common practice, no source. */
const MOST_IMBALANCE_DB = 1.5;
/** Quadrature arms of a stationary signal are uncorrelated at lag zero; the rest is chance, a tone's few cycles, and phase error. */
const MOST_CORRELATION = 0.3;

/**
 * Whether two channels look like the in-phase and quadrature arms of one signal: equal power (direct component taken off) and no
 * correlation at the same instant. Two probes rarely have the first, the two sides of one sound rarely the second. A guess, for the
 * user to correct; false where there is too little to tell (fewer than 64 frames, or silence).
 */
export function looksLikeIq(recording: Recording, bytes: ByteSource): boolean {
  const a = readSamples(recording, bytes, 0, 0, FRAMES).real;
  const b = readSamples(recording, bytes, 1, 0, FRAMES).real;
  const n = Math.min(a.length, b.length);
  if (n < 64) return false;
  let sumA = 0;
  let sumB = 0;
  for (let i = 0; i < n; i++) {
    sumA += a[i]!;
    sumB += b[i]!;
  }
  const meanA = sumA / n;
  const meanB = sumB / n;
  let powerA = 0;
  let powerB = 0;
  let product = 0;
  for (let i = 0; i < n; i++) {
    const x = a[i]! - meanA;
    const y = b[i]! - meanB;
    powerA += x * x;
    powerB += y * y;
    product += x * y;
  }
  if (!(powerA > 0 && powerB > 0)) return false;
  const imbalanceDb = Math.abs(10 * Math.log10(powerA / powerB));
  return imbalanceDb <= MOST_IMBALANCE_DB && Math.abs(product) / Math.sqrt(powerA * powerB) <= MOST_CORRELATION;
}
