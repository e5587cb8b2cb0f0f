import { logGamma, logGammaTail } from './gamma.ts';
import { normalTailInverse } from './normal.ts';

/**
 * P(mean of K looks > threshold) for a steady line of power `signal` in noise of mean power 1: the power in a bin is
 * 1/(2K) times a non-central χ² with 2K degrees of freedom and non-centrality 2K·signal.
 *
 * Poisson-weighted sum of central tails (common textbook form), summed outward from the heaviest weight.
 */
export function detectionProbability(looks: number, threshold: number, signal: number): number {
  const x = looks * threshold;
  const lambda = looks * signal;
  if (lambda === 0) return Math.exp(logGammaTail(looks, x));
  const centre = Math.floor(lambda);
  const logWeight = (j: number): number => -lambda + j * Math.log(lambda) - logGamma(j + 1);
  const term = (j: number): number => Math.exp(logWeight(j) + logGammaTail(looks + j, x));
  let sum = 0;
  const reach = Math.ceil(12 * Math.sqrt(lambda + 1) + 20);
  for (let j = Math.max(0, centre - reach); j <= centre + reach; j++) sum += term(j);
  return Math.min(1, sum);
}

/** The line power, noise mean = 1, that exceeds the threshold with the given probability; 0 where noise alone does. */
export function signalForDetection(looks: number, threshold: number, probability: number): number {
  if (looks > MANY_LOOKS) return gaussianSignal(looks, threshold, probability);
  if (detectionProbability(looks, threshold, 0) >= probability) return 0;
  let low = 0;
  let high = Math.max(1, threshold);
  while (detectionProbability(looks, threshold, high) < probability) high *= 2;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (detectionProbability(looks, threshold, middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Beyond this many looks the power of a bin is Gaussian to a part in a thousand, and the sums above would be long. */
const MANY_LOOKS = 1000;

/** The signal s with 1 + s − z·√((1 + 2s)/K) = threshold, by a few rounds of substitution. */
function gaussianSignal(looks: number, threshold: number, probability: number): number {
  const z = -normalTailInverse(probability);
  let signal = Math.max(0, threshold - 1);
  for (let i = 0; i < 20; i++) signal = Math.max(0, threshold - 1 + z * Math.sqrt((1 + 2 * signal) / looks));
  return signal;
}
