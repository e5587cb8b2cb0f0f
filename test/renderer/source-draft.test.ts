import { describe, expect, test } from 'vitest';
import { hertz, partsPerMillion, SourceDraft } from '../../src-renderer/state/source-draft.svelte.ts';
import { FakeClient, source } from './fake-client.ts';

describe('what is typed', () => {
  test.each([
    ['409.6 kHz', 409_600],
    ['0,4096 MHz', 409_600],
    ['409600', 409_600],
    ['16.384M', 16_384_000],
    ['2e6', 2_000_000],
    ['1 000 000 Hz', 1_000_000],
  ])('“%s” is %i Hz', (text, hz) => {
    expect(hertz(text)).toBe(hz);
  });

  test('an empty field is no value, nonsense is not a number', () => {
    expect(hertz('')).toBeNull();
    expect(hertz('fast')).toBeNaN();
    expect(hertz('4 parsec')).toBeNaN();
    expect(partsPerMillion('')).toBeNull();
    expect(partsPerMillion('lots')).toBeNaN();
  });

  test.each([
    ['25 ppm', 25],
    ['25', 25],
    ['3 %', 30_000],
    ['0,5 %', 5000],
  ])('“%s” is %i ppm', (text, ppm) => {
    expect(partsPerMillion(text)).toBe(ppm);
  });
});

describe('SourceDraft', () => {
  test('an entry opened and kept unchanged is the same source, digit for digit', () => {
    for (const entry of [
      ...new FakeClient().sources,
      {
        source: source('PLL', 12_288_123.4567, {
          kind: 'clock',
          tolerancePpm: 0.28,
          lock: { to: 'XO', numerator: 3, denominator: 4 },
          duty: 0.5,
          riseS: 2e-8,
          maxHarmonic: 9,
          driftPpmPerK: -0.04,
          spreadPpm: 5000,
          adjust: { lowHz: 12e6, highHz: 13e6, stepHz: 1000 },
        }),
        letter: 'Z',
        order: 25,
        revision: 1,
      },
    ]) {
      expect(new SourceDraft(entry, null).source).toEqual(entry.source);
    }
  });

  test('a half-typed number is kept as typed and refused in words', () => {
    const draft = new SourceDraft(null, { designator: 'X', nominalHz: 1e6 });
    draft.isTouched = true;
    draft.texts.tolerance = '3 percentish';
    expect(draft.canKeep).toBe(false);
    expect(draft.problem('tolerancePpm')).toContain('3 percentish');
    draft.texts.tolerance = '3 %';
    expect(draft.canKeep).toBe(true);
    expect(draft.source.tolerancePpm).toBe(30_000);
  });

  test('an empty form does not scold before a word is typed, and cannot be kept', () => {
    const draft = new SourceDraft(null, null);
    expect(draft.problem('designator')).toBeUndefined();
    expect(draft.canKeep).toBe(false);
  });
});
