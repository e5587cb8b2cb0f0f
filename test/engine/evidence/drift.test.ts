import { describe, expect, test } from 'vitest';
import { driftEstimates, driftSlope, type DriftCapture } from '../../../src-main/engine/evidence/drift.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../../src-main/model/evidence-settings.ts';
import { handSource } from '../tracking/hand-triage.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

const point = (temperatureC: number, ppm: number, group = 'g', relativeSigma = 1e-6) => ({
  temperatureC,
  group,
  frequencyHz: 300e3 * (1 + 1e-6 * ppm),
  relativeSigma,
  file: `${temperatureC}.csv`,
});
const capture = (
  temperatureC: number,
  combs: Readonly<Record<string, number>>,
  more: Partial<DriftCapture> = {},
): DriftCapture => ({
  file: `${temperatureC}.csv`,
  temperatureC,
  group: 'g',
  axis: 1e-6,
  combs: Object.entries(combs).map(([source, fundamentalHz]) => ({
    source,
    fundamentalHz,
    fundamentalSigmaHz: 0.3,
    harmonicsSeen: [4, 5, 6],
    harmonicsExpected: [4, 5, 6],
    chance: 1e-9,
    couldAlsoBe: [],
  })),
  ...more,
});

describe('driftSlope(points, temperatureSigmaC)', () => {
  test('three points on a line give its slope, hand computed', () => {
    const slope = driftSlope([point(20, 0), point(30, 1500), point(40, 3000)], 0)!;
    expect(slope.ppmPerK).toBeCloseTo(150, 0);
    expect(slope.degrees).toBe(1);
    // equal weights of 1 ppm: σ = 1/√Σ(T − T̄)² = 1/√200 ppm/K
    expect(slope.sigmaPpmPerK).toBeCloseTo(1 / Math.sqrt(200), 3);
  });

  // Two figures of converters in flight as a published page gives them: 84 Hz/°C on 120 kHz, 420 Hz over 5 °C; 0.35 % by arithmetic.
  test('84 Hz/°C on 120 kHz are 700 ppm/K', () => {
    const at = (temperatureC: number) => ({
      ...point(temperatureC, 0),
      frequencyHz: 120e3 + 84 * (temperatureC - 22.5),
    });
    expect(driftSlope([at(20), at(22.5), at(25)], 0)!.ppmPerK).toBeCloseTo(700, 3);
  });

  test('the thermometer’s doubt counts by the slope', () => {
    const exact = driftSlope([point(20, 0), point(30, 1500), point(40, 3000)], 0)!;
    const doubted = driftSlope([point(20, 0), point(30, 1500), point(40, 3000)], 0.5)!;
    // each point's doubt grows to 150 ppm/K × 0.5 K = 75 ppm: σ = 75/√200
    expect(doubted.sigmaPpmPerK).toBeCloseTo(75 / Math.sqrt(200), 1);
    expect(doubted.sigmaPpmPerK).toBeGreaterThan(exact.sigmaPpmPerK);
  });

  test('an offset between groups is no drift', () => {
    const moved = (t: number, ppm: number) => ({ ...point(t, 0, 'h'), frequencyHz: 302_700 * (1 + 1e-6 * ppm) });
    const points = [point(20, 0), point(30, 1500), moved(20, 0), moved(30, 1500)];
    expect(driftSlope(points, 0)!.ppmPerK).toBeCloseTo(150, 0);
  });

  test('one temperature in every group gives nothing', () => {
    expect(driftSlope([point(20, 0), point(20, 100), point(30, 3000, 'h')], 0.5)).toBeNull();
  });

  test('the stated uncertainty holds the truth two times in three, whatever the source wanders', () => {
    const normal = seededNormal(seededRandom(5));
    let inside = 0;
    const seeds = 2000;
    for (let seed = 0; seed < seeds; seed++) {
      const points = [10, 20, 30, 40, 50, 60].map((t) =>
        point(t + 0.5 * normal(), 180 * (t - 35) + 200 * normal(), 'g', 1e-5),
      );
      const slope = driftSlope(points, 0.5)!;
      if (Math.abs(slope.ppmPerK - 180) <= slope.sigmaPpmPerK) inside++;
    }
    // Student with 4 degrees of freedom: 62.6 % inside one standard error (tables); never widened below 1, so a little more
    expect(inside / seeds).toBeGreaterThan(0.58);
    expect(inside / seeds).toBeLessThan(0.72);
  });
});

describe('driftEstimates(captures, sources, settings)', () => {
  const estimate = (captures: readonly DriftCapture[], ...sources: Parameters<typeof handSource>[]) =>
    driftEstimates(
      captures,
      sources.map((given) => handSource(...given)),
      DEFAULT_EVIDENCE_SETTINGS,
    );
  const warm = [20, 30, 40].map((t) =>
    capture(t, { A: 300e3 * (1 + 150e-6 * (t - 20)), B: 521e3 * (1 + 152e-6 * (t - 20)) }),
  );

  test('offers the register what it does not say, as the entry with the figure in it', () => {
    const [a] = estimate(warm, ['A', 300e3]);
    expect(a).toMatchObject({ source: 'A', degrees: 1, lowC: 20, highC: 40, registeredPpmPerK: null });
    expect(a!.ppmPerK).toBeCloseTo(150, 0);
    expect(a!.offer).toMatchObject({ designator: 'A', nominalHz: 300e3 });
    expect(a!.offer!.driftPpmPerK).toBeCloseTo(a!.ppmPerK, -1);
    expect(a!.sentence).toMatch(/A moves by 1\d\d.* ppm\/K from 20 to 40 °C in 3 captures/);
  });

  test('does not tell siblings apart, and says so', () => {
    const [a, b] = estimate(warm, ['A', 300e3], ['B', 520e3]);
    expect(a!.sameAs).toEqual(['B']);
    expect(b!.sentence).toMatch(/drift does not tell it from A/);
  });

  test('offers nothing that the register says already, nor from two captures', () => {
    expect(estimate(warm, ['A', 300e3, { driftPpmPerK: 150 }])[0]!.offer).toBeNull();
    const [two] = estimate(warm.slice(0, 2), ['A', 300e3]);
    expect(two!.offer).toBeNull();
    expect(two!.sentence).toMatch(/two captures do not show how far it wanders/);
  });

  test('a figure of the register that the captures contradict is offered anew', () => {
    expect(estimate(warm, ['A', 300e3, { driftPpmPerK: 400 }])[0]!.offer).not.toBeNull();
  });

  test.each([
    ['too small a range', [20, 22, 24].map((t) => capture(t, { A: 300e3 }))],
    ['a source seen once', [capture(20, { A: 300e3 }), capture(40, {})]],
    ['nothing at all', []],
  ])('%s gives no figure', (_, captures) => {
    expect(estimate(captures, ['A', 300e3])).toEqual([]);
  });
});
