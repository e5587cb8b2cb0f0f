import { logGammaTail } from './gamma.ts';
import { normalTail } from './normal.ts';

/** Below this skewness the normal tail is as good to a few per cent at four standard deviations. */
const HARDLY_SKEWED = 1e-3;

/**
 * P(Z > z) of a sum that is nearly normal: zero mean, unit variance, the given skewness. The gamma distribution with these three
 * moments (Pearson's type III), which is exact for sums of equal powers of noise. A negative skewness counts as none.
 */
export function skewedTail(z: number, skewness: number): number {
  if (skewness < HARDLY_SKEWED) return normalTail(z);
  const shape = 4 / (skewness * skewness);
  return Math.exp(logGammaTail(shape, shape + z * Math.sqrt(shape)));
}
