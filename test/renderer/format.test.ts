import { describe, expect, test } from 'vitest';
import {
  chance,
  columnPlaces,
  decimal,
  frequency,
  frequencyDoubt,
  frequencyOffset,
  levelDoubt,
  placesFor,
  signed,
  span,
  tolerance,
  readFrequenciesIn,
} from '../../src-renderer/state/format.ts';

describe('numbers as printed', () => {
  test('decimal() uses a true minus and thin-space groups on both sides of the point', () => {
    expect(decimal(-1234567.25, 2)).toBe('\u22121\u2009234\u2009567.25');
    expect(decimal(12.559265, 6)).toBe('12.559\u2009265');
    expect(decimal(6334)).toBe('6\u2009334');
  });

  test('decimal() prints no minus before what rounds to nought, and a word for what is not a number', () => {
    expect(decimal(-0.04, 1)).toBe('0.0');
    expect(decimal(NaN, 1)).toBe('unknown');
    expect(decimal(-Infinity)).toBe('unknown');
  });

  test('signed() always shows a sign', () => {
    expect(signed(3.26)).toBe('+3.3');
    expect(signed(-3.26)).toBe('\u22123.3');
  });

  test.each([
    [63, 0],
    [6.3, 1],
    [0.063, 3],
    [630, 0],
    [1e-9, 9],
  ])('placesFor(%f) leaves two digits of the doubt: %i places', (sigma, places) => {
    expect(placesFor(sigma)).toBe(places);
  });

  test('frequency() shows no digit finer than its doubt', () => {
    expect(frequency(12.559265e6, 63)).toBe('12.559\u2009265 MHz');
    expect(frequency(12.559265e6, 6300)).toBe('12.559\u20093 MHz');
    expect(frequency(409.6e3, 0.4)).toBe('409.600\u200900 kHz');
  });

  test('frequency() without a doubt drops trailing noughts', () => {
    expect(frequency(3000)).toBe('3 kHz');
    expect(frequency(16.384e6)).toBe('16.384 MHz');
    expect(frequency(2.4e9)).toBe('2.4 GHz');
    expect(frequency(50)).toBe('50 Hz');
  });

  test.each([
    [63, '63 Hz'],
    [551.4, '550 Hz'],
    [1320, '1.3 kHz'],
    [20_300, '20 kHz'],
    [0.42, '0.42 Hz'],
    [0, '0 Hz'],
  ])('frequencyDoubt(%f) is %s', (hz, text) => {
    expect(frequencyDoubt(hz)).toBe(text);
  });

  test('frequencyOffset() keeps the direction', () => {
    expect(frequencyOffset(-1320)).toBe('\u22121.3 kHz');
    expect(frequencyOffset(551)).toBe('+550 Hz');
  });

  test('span() writes the unit once', () => {
    expect(span(9e6, 13e6)).toBe('9\u201313 MHz');
    expect(span(100e3, 30e6)).toBe('0.1\u201330 MHz');
  });

  test.each([
    [1 / 2600, '1 in 2\u2009600'],
    [0.025, '1 in 40'],
    [0.4, '1 in 2.5'],
    [0.9, 'more than 1 in 2'],
    [1 / 2690, '1 in 2\u2009600'],
    [3e-12, '1 in 10\u00b9\u00b9'],
    [0, 'less than 1 in 10\u00b3\u2070\u2070'],
    [NaN, 'unknown'],
  ])('chance(%f) is %s', (p, text) => {
    expect(chance(p)).toBe(text);
  });

  test('tolerance() speaks of ppm for crystals and per cent for converters', () => {
    expect(tolerance(25)).toBe('25 ppm');
    expect(tolerance(30_000)).toBe('3 %');
    expect(tolerance(3200)).toBe('0.32 %');
  });

  test('columnPlaces() goes by the middle doubt, not by the one sure line', () => {
    expect(columnPlaces([1e-9, 4e-5, 5e-5, 6e-5, 2e-3])).toBe(placesFor(5e-5));
    expect(columnPlaces([])).toBe(3);
  });
});

test('frequencies are printed in the unit that was chosen, their doubts in what fits', () => {
  readFrequenciesIn('kHz');
  expect(frequency(12.5e6, 10)).toBe('12\u2009500.000 kHz');
  expect(frequencyDoubt(63)).toBe('63 Hz');
  readFrequenciesIn(null);
  expect(frequency(12.5e6, 1e4)).toBe('12.500 MHz');
});

test('levelDoubt() never prints a doubt as none', () => {
  expect([levelDoubt(0.3), levelDoubt(0.04), levelDoubt(0.002)]).toEqual(['0.3', '0.04', '<\u20090.01']);
});
