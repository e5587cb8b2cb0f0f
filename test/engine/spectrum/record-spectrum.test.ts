import { describe, expect, test } from 'vitest';
import { sumParts } from '../../../src-main/engine/spectrum/sum-parts.ts';
import { recordSpectrum } from '../../../src-main/engine/spectrum/record-spectrum.ts';
import { analyseTrace } from '../../../src-main/engine/analyse.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import type { Recording } from '../../../src-main/model/recording.ts';
import { DEFAULT_SPECTRUM_SETTINGS, type SpectrumSettings } from '../../../src-main/model/spectrum-settings.ts';
import type { Trace } from '../../../src-main/model/trace.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../../src-main/model/triage-settings.ts';
import { record } from './records.ts';

const spectrum = (recording: Recording, settings: Partial<SpectrumSettings> = {}, waterfall = false) =>
  recordSpectrum({
    recording,
    bytes: null,
    channel: 0,
    settings: { ...DEFAULT_SPECTRUM_SETTINGS, ...settings },
    waterfall: waterfall ? { rows: 10, columns: 64 } : null,
    file: 'bench.wav',
  });
const triage = (trace: Trace) =>
  analyseTrace({ trace, sources: [], condition: null, settings: DEFAULT_TRIAGE_SETTINGS });
const peakOf = ({ level }: Trace): number => level.reduce((a, b) => Math.max(a, b), -Infinity);
const powerMean = ({ level }: Trace): number =>
  10 * Math.log10(level.reduce((sum, l) => sum + 10 ** (l / 10), 0) / level.length);

describe('levels of recordSpectrum', () => {
  // a tone on a bin of 1 kHz at 64 kHz: every window shows its own power there
  test.each(['rectangular', 'hann', 'hamming', 'blackman-harris', 'flat-top'] as const)(
    '%s: a sine of 1 V peak reads −3.010 dBV, across 50 Ω +10 dBm',
    (window) => {
      const recording = record({
        samples: 65_536,
        sampleRateHz: 64_000,
        unit: 'V',
        tones: [{ frequencyHz: 1000, peak: 1 }],
      });
      const volts = spectrum(recording, { window });
      expect(volts.trace.unit.name).toBe('dBV');
      expect(peakOf(volts.trace)).toBeCloseTo(-3.0103, 3);
      const power = spectrum(recording, { window, impedanceOhm: 50 });
      expect(power.trace.unit.name).toBe('dBm');
      expect(peakOf(power.trace)).toBeCloseTo(10, 3);
    },
  );

  test('a sine, or a turning phasor, that reaches full scale reads 0 dBFS', () => {
    const tones = [{ frequencyHz: 1000, peak: 1 }];
    for (const complex of [false, true]) {
      const { trace } = spectrum(record({ samples: 65_536, sampleRateHz: 64_000, complex, tones }));
      expect(trace.unit.name).toBe('dBFS');
      expect(peakOf(trace)).toBeCloseTo(0, 3);
    }
  });

  test('a flat top reads a tone between two bins within 0.05 dB, over all places between', () => {
    for (const part of [0, 0.13, 0.25, 0.37, 0.5]) {
      const frequencyHz = 8000 + (part * 64_000) / 1024;
      const tones = [{ frequencyHz, peak: 0.1 }];
      const { trace } = spectrum(record({ samples: 65_536, sampleRateHz: 64_000, unit: 'V', tones }), {
        window: 'flat-top',
      });
      expect(Math.abs(peakOf(trace) + 23.0103)).toBeLessThan(0.05);
    }
  });

  test.each([
    ['real, Hann', false, 'hann'],
    ['real, flat top', false, 'flat-top'],
    ['I/Q, Hann', true, 'hann'],
    ['I/Q, Blackman-Harris', true, 'blackman-harris'],
  ] as const)('%s: white noise of known density comes back within 0.05 dB, as floor too', (_, complex, window) => {
    // 1 µV²/Hz at one side: a mean square of 1e-12·32 000 (real); the carrier's half of |z|² over 64 kHz (I/Q)
    const noise = 1e-12 * (complex ? 2 * 64_000 : 32_000);
    const { trace, plan } = spectrum(
      record({ samples: 2 ** 20, sampleRateHz: 64_000, complex, unit: 'V', noise, seed: 5, centreHz: 1e6 }),
      { window, rbwHz: 200 },
    );
    const density = (level: number): number => level - 10 * Math.log10(plan.rbwHz);
    expect(Math.abs(density(powerMean(trace)) + 120)).toBeLessThan(0.05);
    const { floor } = triage(trace);
    const middle = floor.meanDb.reduce((a, b) => a + b, 0) / floor.meanDb.length;
    expect(Math.abs(density(middle) + 120)).toBeLessThan(0.05);
    expect(floor.statistic).toBe('chi-square');
  });

  test('a known tone and a known density stay what they are whatever the RBW', () => {
    for (const rbwHz of [20, 50, 133, 400]) {
      const { trace, plan } = spectrum(
        record({
          samples: 2 ** 19,
          sampleRateHz: 64_000,
          unit: 'V',
          noise: 1e-12 * 32_000,
          seed: 3,
          tones: [{ frequencyHz: 10_007, peak: 0.02 }],
        }),
        { window: 'flat-top', rbwHz },
      );
      expect(plan.rbwHz / rbwHz).toBeCloseTo(1, 2);
      expect(Math.abs(peakOf(trace) - 10 * Math.log10(0.02 ** 2 / 2))).toBeLessThan(0.05);
    }
  });
});

describe('what follows the spectrum down the line', () => {
  test('noise alone gives no spur, and the averages are the effective ones', () => {
    const { trace, plan } = spectrum(record({ samples: 2 ** 19, sampleRateHz: 1e6, noise: 1e-4, seed: 8 }));
    expect(trace.settings.averages).toBeCloseTo(plan.effectiveAverages, 2);
    expect(trace.settings.averages).toBeLessThan(plan.segments);
    expect(triage(trace).spurs).toEqual([]);
  });

  test.each([0, 0.2, 0.5])(
    'a Hann spectrum’s spur gives a tone %f bins off its bin within 0.05 dB and a twentieth of a bin',
    (part) => {
      const frequencyHz = 200_000 + (part * 1e6) / 4096;
      const { trace, plan } = spectrum(
        record({ samples: 2 ** 19, sampleRateHz: 1e6, noise: 1e-6, seed: 9, tones: [{ frequencyHz, peak: 0.1 }] }),
      );
      const strongest = triage(trace).spurs.reduce((a, b) => (a.levelDb > b.levelDb ? a : b));
      expect(Math.abs(strongest.levelDb + 20)).toBeLessThan(0.05);
      expect(Math.abs(strongest.frequencyHz - frequencyHz)).toBeLessThan(0.05 * plan.spacingHz);
    },
  );

  test('a record of I/Q lies about its centre, which the settings may correct', () => {
    const parts = { samples: 65_536, sampleRateHz: 64_000, complex: true, tones: [{ frequencyHz: -9000, peak: 0.5 }] };
    const stated = spectrum(record({ ...parts, centreHz: 7e6 })).trace;
    const peak = stated.level.indexOf(peakOf(stated));
    expect(stated.frequencyHz[peak]).toBeCloseTo(7e6 - 9000, 6);
    expect(stated.axis).toBeUndefined();
    const corrected = spectrum(record({ ...parts, centreHz: 7e6 }), { centreHz: 3e6 }).trace;
    expect(corrected.frequencyHz[peak]).toBeCloseTo(3e6 - 9000, 6);
    const unknown = spectrum(record(parts));
    expect(unknown.trace.axis).toBe('offset');
    expect(unknown.warnings.join()).toMatch(/centre frequency of this I\/Q record is not stated/);
  });

  test('offset and mirror image of an I/Q record are laid at the receiver’s door, a line of the build is not', () => {
    const tones = [
      { frequencyHz: 11_000, peak: 0.3 },
      { frequencyHz: -17_300, peak: 0.003 },
    ];
    const { trace } = spectrum(
      record({
        samples: 2 ** 19,
        sampleRateHz: 64_000,
        complex: true,
        tones,
        noise: 1e-6,
        image: 0.01,
        offset: 0.01,
        centreHz: 7e6,
      }),
    );
    const { spurs, explanations } = triage(trace);
    const causeAt = (hz: number) => explanations[spurs.findIndex((spur) => Math.abs(spur.frequencyHz - hz) < 60)]!;
    expect(causeAt(7e6 - 11_000).cause).toBe('instrument');
    expect(causeAt(7e6 - 11_000).why).toMatch(/Mirror image of the line at 7.011/);
    expect(causeAt(7e6).cause).toBe('instrument');
    expect(causeAt(7e6 - 17_300).cause).toBe('unexplained');
    expect(causeAt(7e6 + 11_000).cause).toBe('unexplained');
  });
});

describe('what recordSpectrum refuses or says', () => {
  const short = record({ samples: 32_000, sampleRateHz: 64_000, noise: 1e-6 });

  test('a record too short for the RBW asked names its length, the length needed and the RBW it can give', () => {
    expect(() => spectrum(short, { rbwHz: 1 })).toThrow(
      'bench.wav, recording: found 0.5 s of record; expected at least 2.004 s to resolve 1 Hz with this window. Ask for an RBW of 4.009 Hz or wider, or record longer.',
    );
  });

  test.each([
    [-1, null],
    [0, 0.6],
    [0.4, 0.4],
    [0.5, null],
  ])('a stretch from %f to %s s outside a record of 0.5 s is refused', (fromS, toS) => {
    expect(() => spectrum(short, { fromS, toS })).toThrow(InputError);
  });

  test('few averages, clipping and uneven steps are said', () => {
    expect(spectrum(short, { rbwHz: 10 }).warnings.join()).toMatch(/only 4\.\d averages at this RBW/);
    const loud = record({
      samples: 32_000,
      sampleRateHz: 64_000,
      tones: [{ frequencyHz: 1000, peak: 1 }],
      fullScale: 1,
    });
    const { warnings, trace } = spectrum(loud);
    expect(trace.settings.clippedSamples).toBeGreaterThan(500);
    expect(warnings.join()).toMatch(/samples stand at the converter’s full scale/);
    expect(spectrum({ ...short, unevenness: 0.2 }).warnings.join()).toMatch(/by up to 20 %/);
    expect(spectrum(short).trace.settings.clippedSamples).toBeNull();
  });

  test('a record without a single number in any segment is refused', () => {
    const broken = record({ samples: 1000, sampleRateHz: 1000 });
    if (broken.samples.kind === 'held') for (let n = 0; n < 1000; n += 100) broken.samples.channels[0]!.real[n] = NaN;
    expect(() => spectrum(broken)).toThrow(/no number in every segment/);
  });

  test('a real signal in an I/Q record is told as its own mirror', () => {
    const recording = record({ samples: 2 ** 16, sampleRateHz: 64_000, complex: true, noise: 1e-4 });
    if (recording.samples.kind === 'held') recording.samples.channels[0]!.imaginary!.fill(0);
    expect(spectrum(recording).warnings.join()).toMatch(/its own mirror image/);
  });
});

describe('the waterfall', () => {
  test('has rows in time and columns in frequency, and a tone that comes half-way shows in the second half only', () => {
    const recording = record({ samples: 64_000, sampleRateHz: 64_000, noise: 1e-8, seed: 2 });
    if (recording.samples.kind === 'held') {
      const { real } = recording.samples.channels[0]!;
      for (let n = 32_000; n < 64_000; n++) real[n]! += 0.1 * Math.cos((2 * Math.PI * 9000 * n) / 64_000);
    }
    const { waterfall } = spectrum(recording, {}, true);
    expect(waterfall!.rows).toBe(10);
    expect(waterfall!.frequencyHz).toHaveLength(64);
    expect(waterfall!.level).toHaveLength(640);
    const column = waterfall!.frequencyHz.findIndex((hz) => hz > 9000 - 250);
    const column9k = Array.from({ length: 10 }, (_, row) => waterfall!.level[row * 64 + column]!);
    expect(Math.max(...column9k.slice(0, 4))).toBeLessThan(-60);
    expect(Math.min(...column9k.slice(6))).toBeGreaterThan(-22);
    expect(waterfall!.rowStartS![5]).toBeCloseTo(0.5, 1);
  });
});

describe('side lobes of the window', () => {
  const strong = (window: SpectrumSettings['window']) =>
    spectrum(
      record({ samples: 2 ** 19, sampleRateHz: 1e6, noise: 1e-6, seed: 9, tones: [{ frequencyHz: 200_122, peak: 1 }] }),
      { window, rbwHz: 500, overlap: 0.5 },
    );

  test.each(['hann', 'hamming', 'blackman'] as const)(
    '%s: what stands beside a strong line is laid at the window’s door, and the span it covers is said',
    (window) => {
      const { trace, warnings } = strong(window);
      const { spurs, explanations } = triage(trace);
      const beside = spurs.flatMap(({ frequencyHz }, i) =>
        Math.abs(frequencyHz - 200_122) < 20_000 && Math.abs(frequencyHz - 200_122) > 700 ? [explanations[i]!] : [],
      );
      for (const { cause, why } of beside)
        expect([cause, why.slice(0, 43)]).toEqual(['instrument', 'No stronger than the side lobes that the wi']);
      expect(warnings.join()).toMatch(/Side lobes of this window stand over the noise/);
    },
  );

  test('a line of the build well above the side lobes beside a strong one keeps its own name', () => {
    const tones = [
      { frequencyHz: 200_122, peak: 1 },
      { frequencyHz: 204_300, peak: 0.01 },
    ];
    const { trace } = spectrum(record({ samples: 2 ** 19, sampleRateHz: 1e6, noise: 1e-6, seed: 9, tones }), {
      window: 'hann',
      rbwHz: 500,
    });
    const { spurs, explanations } = triage(trace);
    const place = spurs.findIndex(({ frequencyHz }) => Math.abs(frequencyHz - 204_300) < 100);
    expect(explanations[place]!.cause).toBe('unexplained');
  });

  test('the window taken unless another is asked for raises none over noise 85 dB down', () => {
    const { trace } = strong('blackman-harris');
    expect(triage(trace).spurs.filter(({ frequencyHz }) => Math.abs(frequencyHz - 200_122) < 20_000)).toHaveLength(1);
  });
});

test.each([
  ['real', false, 'blackman-harris', 0.66],
  ['I/Q', true, 'blackman-harris', 0.66],
  ['real', false, 'hann', 0.75],
  ['I/Q', true, 'flat-top', 0.5],
] as const)(
  '%s noise alone gives no more spurs than the settings say (%s, %s, overlap %f)',
  (_, complex, window, overlap) => {
    let found = 0;
    const records = 30;
    for (let seed = 1; seed <= records; seed++) {
      const noise = record({ samples: 2 ** 15, sampleRateHz: 1e6, noise: 1e-4, seed, complex, centreHz: 5e6 });
      const { trace } = spectrum(noise, { window, overlap, rbwHz: 4000 });
      const { spurs, explanations } = triage(trace);
      found += spurs.filter((_spur, i) => explanations[i]!.cause !== 'instrument').length;
    }
    // 30 records at 0.05 each expect 1.5; more than 6 would come in one of 1000 runs (Poisson)
    expect(found).toBeLessThanOrEqual(6);
  },
);

test('who sums the periodograms is asked for that alone, and changes nothing', () => {
  const recording = record({ samples: 50_000, sampleRateHz: 1000, complex: true, noise: 1, fullScale: 1 });
  const input = {
    recording,
    bytes: null,
    channel: 0,
    settings: DEFAULT_SPECTRUM_SETTINGS,
    waterfall: null,
    file: 'a.wav',
  };
  const calls: unknown[][] = [];
  const made = recordSpectrum({
    ...input,
    sumParts: (...given) => {
      calls.push(given);
      return sumParts(...given);
    },
  });
  expect(calls.map((given) => given.length)).toEqual([3]);
  expect(made).toEqual(recordSpectrum(input));
});
