import { logGammaTail } from './gamma.ts';

/** P(Z > z) of the standard normal distribution. */
export function normalTail(z: number): number {
  const half = 0.5 * Math.exp(logGammaTail(0.5, (z * z) / 2));
  return z >= 0 ? half : 1 - half;
}

/** The z with P(Z > z) = probability, by bisection. */
export function normalTailInverse(probability: number): number {
  let low = -40;
  let high = 40;
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2;
    if (normalTail(middle) > probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
