import { describe, expect, test } from 'vitest';
import { frequencyFactor, parseLevelUnit, timeFactor } from '../../src-main/units/parse-unit.ts';

describe('parseLevelUnit(text)', () => {
  test.each([
    ['dBm', 'dBm', 'decibel', false],
    ['DBM', 'dBm', 'decibel', false],
    ['dBuV', 'dBµV', 'decibel', false],
    ['dB\u00b5V', 'dBµV', 'decibel', false],
    ['dB\u03bcV', 'dBµV', 'decibel', false],
    ['dB µV', 'dBµV', 'decibel', false],
    ['dB(µV)', 'dBµV', 'decibel', false],
    ['dB(uV/m)', 'dBµV/m', 'decibel', false],
    ['dB re 1 V', 'dBV', 'decibel', false],
    ['dBVrms', 'dBV', 'decibel', false],
    ['dBm(50Ω)', 'dBm', 'decibel', false],
    ['dBµA', 'dBµA', 'decibel', false],
    ['dBpW', 'dBpW', 'decibel', false],
    ['dBFS', 'dBFS', 'decibel', false],
    ['dBFS/Hz', 'dBFS/Hz', 'decibel', true],
    ['dBc', 'dBc', 'decibel', false],
    ['dB', 'dB', 'decibel', false],
    ['dBm/Hz', 'dBm/Hz', 'decibel', true],
    ['dBµV/√Hz', 'dBµV/√Hz', 'decibel', true],
    ['dBuV/sqrt(Hz)', 'dBµV/√Hz', 'decibel', true],
    ['W', 'W', 'power', false],
    ['mw', 'mW', 'power', false],
    ['W/Hz', 'W/Hz', 'power', true],
    ['V²', 'V²', 'power', false],
    ['V^2/Hz', 'V²/Hz', 'power', true],
    ['V**2/Hz', 'V²/Hz', 'power', true],
    ['V', 'V', 'amplitude', false],
    ['Volts', 'V', 'amplitude', false],
    ['V rms', 'V', 'amplitude', false],
    ['uV', 'µV', 'amplitude', false],
    ['A', 'A', 'amplitude', false],
    ['nV/√Hz', 'nV/√Hz', 'amplitude', true],
    ['V/rtHz', 'V/√Hz', 'amplitude', true],
    ['V/sqrt(Hz)', 'V/√Hz', 'amplitude', true],
    ['V/Hz^0.5', 'V/√Hz', 'amplitude', true],
    ['µV/m', 'µV/m', 'amplitude', false],
  ])('%s is %s', (text, name, scale, perHz) => {
    expect(parseLevelUnit(text)).toEqual({ name, scale, perHz });
  });

  test.each(['', 'dBm/Hz/s', 'dBm/MHz', 'dB?V', 'Hz', 's', 'deg', 'level', 'a.u.', 'VIEW', 'x'.repeat(500)])(
    '%s is none',
    (text) => {
      expect(parseLevelUnit(text)).toBeNull();
    },
  );

  test('every name it gives reads back as itself', () => {
    for (const text of ['dBuV', 'V^2/Hz', 'nV/rtHz', 'dBm/Hz', 'uV', 'dB(uV/m)']) {
      const unit = parseLevelUnit(text)!;
      expect(parseLevelUnit(unit.name)).toEqual(unit);
    }
  });
});

test('frequencyFactor(text) and timeFactor(text) know their units and no others', () => {
  expect(['Hz', 'kHz', 'KHZ', 'MHz', 'ghz', 'dBm', 's', ''].map(frequencyFactor)).toEqual([
    1,
    1e3,
    1e3,
    1e6,
    1e9,
    null,
    null,
    null,
  ]);
  expect(['s', 'ms', 'us', 'µs', 'Second', 'Hz', ''].map(timeFactor)).toEqual([1, 1e-3, 1e-6, 1e-6, 1, null, null]);
});
