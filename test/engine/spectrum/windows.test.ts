import { describe, expect, test } from 'vitest';
import {
  mainLobeBins,
  responseAt,
  WINDOW_NAMES,
  windowFigures,
  windowWeights,
} from '../../../src-main/engine/spectrum/windows.ts';
import type { WindowName } from '../../../src-main/model/spectrum-settings.ts';

describe('windowFigures(weights)', () => {
  // computed with scipy 1.17 for the periodic window of 4096 samples: coherent gain, ENBW, scalloping, 3 dB width
  test.each([
    ['rectangular', 1, 1, -3.9224, 0.8859],
    ['hann', 0.5, 1.5, -1.4236, 1.4406],
    ['hamming', 0.54, 1.3628, -1.7514, 1.303],
    ['blackman', 0.42, 1.7268, -1.0989, 1.6437],
    ['exact-blackman', 0.4266, 1.6937, -1.15, 1.6087],
    ['blackman-harris', 0.35875, 2.0044, -0.8256, 1.8994],
    ['nuttall', 0.3636, 1.9761, -0.8506, 1.8719],
    ['flat-top', 0.21558, 3.7702, -0.0098, 3.7247],
  ] as const)(
    '%s has the gain, noise bandwidth, scalloping and width computed elsewhere',
    (name, gain, enbw, dip, width) => {
      const figures = windowFigures(windowWeights(name, 4096));
      expect(Math.abs(figures.coherentGain - gain)).toBeLessThan(5e-5);
      expect(Math.abs(figures.enbwBins - enbw)).toBeLessThan(5e-4);
      expect(Math.abs(figures.scallopingDb - dip)).toBeLessThan(5e-4);
      expect(Math.abs(figures.halfPowerBins - width)).toBeLessThan(3e-4 * 10);
    },
  );

  // Harris 1978, Table I, as printed there (rounded; from memory): ENBW, scalloping, worst-case loss
  test.each([
    ['hann', 1.5, 1.42, 3.18],
    ['hamming', 1.36, 1.78, 3.1],
    ['blackman', 1.73, 1.1, 3.47],
    ['blackman-harris', 2.0, 0.83, 3.85],
  ] as const)('%s agrees with the printed table within its rounding', (name, enbw, scalloping, worst) => {
    const figures = windowFigures(windowWeights(name, 4096));
    expect(Math.abs(figures.enbwBins - enbw)).toBeLessThan(0.06);
    expect(Math.abs(-figures.scallopingDb - scalloping)).toBeLessThan(0.06);
    expect(Math.abs(10 * Math.log10(figures.enbwBins) - figures.scallopingDb - worst)).toBeLessThan(0.06);
  });

  test('a symmetric Hann of 128 samples at 1 kHz has 11.8110 Hz (worked example of a signal-processing manual)', () => {
    // the symmetric window of 128 samples is the periodic one of 127 with a zero behind it
    const weights = Float64Array.from([...windowWeights('hann', 127), 0]);
    expect((windowFigures(weights).enbwBins * 1000) / 128).toBeCloseTo(11.811, 4);
  });
});

describe('windowWeights(name, points)', () => {
  test.each(WINDOW_NAMES)('%s: is even about its middle and of peak 1', (name: WindowName) => {
    const weights = windowWeights(name, 64);
    for (let n = 1; n < 64; n++) expect(weights[n]).toBeCloseTo(weights[64 - n]!, 12);
    expect(weights[32]).toBeCloseTo(1, 3);
  });

  test.each(WINDOW_NAMES)('%s: shows nothing of a line from the end of its main lobe on, bin by bin', (name) => {
    const weights = windowWeights(name, 256);
    for (let bin = mainLobeBins(name); bin < 100; bin++) expect(responseAt(weights, bin)).toBeLessThan(1e-20);
    if (name !== 'rectangular') expect(responseAt(weights, mainLobeBins(name) - 1)).toBeGreaterThan(1e-6);
  });
});
