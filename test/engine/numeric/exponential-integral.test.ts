import { expect, test } from 'vitest';
import { exponentialIntegral } from '../../../src-main/engine/numeric/exponential-integral.ts';

// scipy.special.exp1, SciPy 1.10.1
test.each([
  [0.1, 1.8229239584193904],
  [1, 0.2193839343955205],
  [2, 0.048900510708061125],
  [10, 4.156968929685325e-6],
])('E₁(%d) is what SciPy gives', (x, expected) => {
  expect(exponentialIntegral(x) / expected).toBeCloseTo(1, 11);
});

test('agrees with a slow sum of its integrand', () => {
  for (const x of [0.3, 0.999, 1.001, 4]) {
    let sum = 0;
    const step = 1e-3;
    for (let t = x + step / 2; t < x + 45; t += step) sum += (Math.exp(-t) / t) * step;
    expect(sum).toBeCloseTo(exponentialIntegral(x), 6);
  }
});
