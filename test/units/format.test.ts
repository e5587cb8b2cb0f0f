import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decimalsFor,
  formatChance,
  formatDecimal,
  formatFrequency,
  formatFrequencyWithDoubt,
  formatLevel,
  formatPpm,
  formatSignificant,
  formatSigned,
} from '../../src-main/units/format.ts';

/** Thin spaces as blanks and the true minus as a hyphen, so that expectations can be read. */
const plain = (text: string): string => text.replaceAll('\u2009', ' ').replaceAll('\u2212', '-');
const number = (text: string): number => Number(plain(text).replaceAll(' ', ''));

describe('formatDecimal(value, decimals)', () => {
  test.each([
    [1234567.891, 3, '1 234 567.891'],
    [-0.0001234, 6, '-0.000 123'],
    [-0.001, 2, '0.00'],
    [999, 0, '999'],
    [1000, 0, '1 000'],
    [-12.34, 1, '-12.3'],
    [NaN, 1, '–'],
    [-Infinity, 1, '–'],
  ])('prints %d to %d places as %s', (value, decimals, text) => {
    expect(plain(formatDecimal(value, decimals))).toBe(text);
  });

  test('loses nothing but the places cut off', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e12, max: 1e12, noNaN: true }),
        fc.integer({ min: 0, max: 9 }),
        (value, decimals) => {
          expect(number(formatDecimal(value, decimals))).toBeCloseTo(Number(value.toFixed(decimals)), 9);
        },
      ),
      { seed: 11, numRuns: 500 },
    );
  });
});

test('formatSigned(value, decimals) gives changes their sign and zero none', () => {
  expect([2.34, -2.34, 0, -0.01].map((v) => plain(formatSigned(v)))).toEqual(['+2.3', '-2.3', '0.0', '0.0']);
});

test.each([
  [0.012, 3],
  [0.0996, 2],
  [0.0994, 3],
  [1.4, 1],
  [14, 0],
  [140, 0],
  [0, 3],
  [null, 3],
])('decimalsFor(doubt %s) shows two digits of it: %d', (doubt, decimals) => {
  expect(decimalsFor(doubt)).toBe(decimals);
});

describe('frequencies', () => {
  test.each([
    [12_559_265.3, 12, '12.559 265 MHz'],
    [12_559_265.3, 1200, '12.559 3 MHz'],
    [12_559_265.3, null, '12.559 3 MHz'],
    [150_000, null, '150 kHz'],
    [2.4e9, 1e3, '2.400 000 0 GHz'],
    [50, 0.02, '50.000 Hz'],
    [0, null, '0 Hz'],
    [NaN, 1, '–'],
  ])('formatFrequency(%d, %s) is %s', (hz, sigma, text) => {
    expect(plain(formatFrequency(hz, sigma))).toBe(text);
  });

  test('formatFrequencyWithDoubt(frequencyHz, sigmaHz) shows value and doubt to the same place', () => {
    expect(plain(formatFrequencyWithDoubt(12_559_265.3, 12.3))).toBe('12.559 265 ± 0.000 012 MHz');
    expect(plain(formatFrequencyWithDoubt(12_559_265.3, null))).toBe('12.559 3 MHz');
  });
});

test.each([
  [-92.347, 'dBm', null, '-92.3 dBm'],
  [-92.347, 'dBm', 0.42, '-92.35 ± 0.42 dBm'],
  [-92.347, 'dBm', 3.2, '-92.3 ± 3.2 dBm'],
  [0.010099, 'V', null, '0.010 1 V'],
  [4.2e-6, 'V', null, '4.20 · 10⁻⁶ V'],
  [31.5, 'unknown', null, '31.5 (unit unknown)'],
  [NaN, 'dBm', null, '–'],
])('formatLevel(%d, %s, %s) is %s', (level, unit, sigma, text) => {
  expect(plain(formatLevel(level, unit, sigma))).toBe(text);
});

test.each([
  [0, 3, '0'],
  [1234567, 2, '1.2 · 10⁶'],
  [999.6, 3, '1 000'],
  [0.00123456, 3, '0.001 23'],
  [-5e-9, 1, '-5 · 10⁻⁹'],
])('formatSignificant(%d, %d) is %s', (value, digits, text) => {
  expect(plain(formatSignificant(value, digits))).toBe(text);
});

test.each([
  [20, '20 ppm'],
  [0.5, '0.5 ppm'],
  [999, '999 ppm'],
  [50_000, '5 %'],
  [12_500, '1.25 %'],
  [1000, '0.1 %'],
])('formatPpm(%d) is %s', (ppm, text) => {
  expect(formatPpm(ppm)).toBe(text);
});

describe('formatChance(p)', () => {
  test.each([
    [1 / 2650, '1 in 2 600'],
    [0.001, '1 in 1 000'],
    [0.05, '1 in 20'],
    [0.3, '1 in 3.3'],
    [0.5, '1 in 2'],
    [0.7, 'more than 1 in 2'],
    [3e-9, '1 in 10⁸'],
    [0, 'less than 1 in 10³⁰⁰'],
    [NaN, '–'],
    [-0.1, '–'],
  ])('%d is %s', (p, text) => {
    expect(plain(formatChance(p))).toBe(text);
  });

  test('never says a chance is smaller than it is', () => {
    fc.assert(
      fc.property(fc.double({ min: 1.1e-7, max: 0.5, noNaN: true }), (p) => {
        const n = number(formatChance(p).replace('1 in ', ''));
        expect(1 / n).toBeGreaterThanOrEqual(p * (1 - 1e-9));
        expect(1 / n).toBeLessThanOrEqual(p * 1.12);
      }),
      { seed: 12, numRuns: 1000 },
    );
  });
});
