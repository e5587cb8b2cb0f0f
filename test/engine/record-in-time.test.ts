import { describe, expect, test } from 'vitest';
import { gatesOf, recordInTime } from '../../src-main/engine/record-in-time.ts';
import { recordSpectrum } from '../../src-main/engine/spectrum/record-spectrum.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import type { Recording } from '../../src-main/model/recording.ts';
import { DEFAULT_SPECTRUM_SETTINGS } from '../../src-main/model/spectrum-settings.ts';
import { record } from './spectrum/records.ts';

const RATE = 64_000;

/** Noise with a tone of 9 kHz that is on for 20 ms every 100 ms, every fourth time not at all (a converter that skips at light load). */
function skipping(): Recording {
  const recording = record({ samples: 4 * RATE, sampleRateHz: RATE, noise: 1e-6, seed: 4, unit: 'V' });
  if (recording.samples.kind === 'held') {
    const { real } = recording.samples.channels[0]!;
    for (let n = 0; n < real.length; n++) {
      const period = Math.floor(n / 6400);
      if (n % 6400 < 1280 && period % 4 !== 3) real[n]! += 0.1 * Math.cos((2 * Math.PI * 9000 * n) / RATE);
    }
  }
  return recording;
}
const inTime = (recording: Recording, stepS: number) =>
  recordInTime({ recording, bytes: null, channel: 0, stepS, file: 'bench.wav' });
const levelAt = (recording: Recording, gates: { startS: number; endS: number }[], hz: number) => {
  const { trace } = recordSpectrum({
    recording,
    bytes: null,
    channel: 0,
    settings: { ...DEFAULT_SPECTRUM_SETTINGS, window: 'flat-top', rbwHz: 400 },
    gates,
    waterfall: null,
    file: 'bench.wav',
  });
  const near = trace.frequencyHz.findIndex((f) => f >= hz - 50);
  return { trace, levelDb: Math.max(...trace.level.subarray(near, near + 3)) };
};

describe('recordInTime(input)', () => {
  test('finds the bursts, their rate and the places that were skipped', () => {
    const structure = inTime(skipping(), 1e-3);
    expect(structure.bursts).toHaveLength(30);
    expect(Math.abs(structure.repetition!.rateHz - 10)).toBeLessThan(3 * structure.repetition!.rateSigmaHz);
    expect(structure.repetition).toMatchObject({ seen: 30, skipped: 9 });
    expect(structure.why).toMatch(/^30 bursts repeat at 10\.0.* ± 0\.0.* Hz .*9 of 39 places passed over\.$/);
    // 0.1 V peak: −23.01 dBV; noise of 1e-6 V² is −60 dBV
    expect(Math.abs(structure.baseDb + 60)).toBeLessThan(1);
    expect(Math.abs(structure.bursts[0]!.overBaseDb - 37)).toBeLessThan(1);
  });

  test('steady noise has none, and says so', () => {
    const structure = inTime(record({ samples: RATE, sampleRateHz: RATE, noise: 1e-6 }), 1e-3);
    expect(structure.bursts).toEqual([]);
    expect(structure.repetition).toBeNull();
    expect(structure.why).toMatch(/no burst stands out/);
  });

  test.each([0, 1e-9, 100])('a step of %f s is refused', (stepS) => {
    expect(() => inTime(skipping(), stepS)).toThrow(InputError);
  });
});

describe('gatesOf(structure) and spectra of them', () => {
  test('the spectrum of the bursts shows the tone at its full level, that of the pauses not at all, that of all weaker', () => {
    const recording = skipping();
    const structure = inTime(recording, 1e-3);
    const on = levelAt(recording, [...gatesOf(structure, 4, 'on')], 9000);
    expect(Math.abs(on.levelDb + 23.01)).toBeLessThan(0.1);
    const quiet = levelAt(recording, [...gatesOf(structure, 4, 'quiet')], 9000);
    expect(quiet.levelDb).toBeLessThan(-70);
    const all = levelAt(recording, [{ startS: 0, endS: 4 }], 9000);
    // on for 15 % of the time: 8.2 dB lower as an average of power
    expect(Math.abs(all.levelDb + 23.01 + 8.24)).toBeLessThan(0.5);
    expect(on.trace.settings.averages).toBeGreaterThan(30);
    expect(on.trace.settings.sweepTimeS).toBeLessThan(0.7);
  });

  test('gates and pauses cover the record without overlap', () => {
    const structure = inTime(skipping(), 1e-3);
    const covered = (['on', 'quiet'] as const).flatMap((which) => gatesOf(structure, 4, which));
    expect(covered.reduce((sum, { startS, endS }) => sum + endS - startS, 0)).toBeCloseTo(4, 9);
  });

  test('no gate, and gates shorter than a window, are refused with the way out', () => {
    expect(() => levelAt(skipping(), [], 9000)).toThrow(/no part of the record/);
    expect(() => levelAt(skipping(), [{ startS: 0, endS: 1e-3 }], 9000)).toThrow(/to resolve 400 Hz/);
  });
});
