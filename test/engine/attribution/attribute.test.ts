import { describe, expect, test } from 'vitest';
import type { Comb } from '../../../src-main/model/comb.ts';
import { attribute, type AttributionResult } from '../../../src-main/engine/attribution/attribute.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import { Scene, seeded, source } from './scene.ts';

const combOf = (result: AttributionResult, name: string): Comb[] => result.combs.filter((comb) => comb.source === name);

describe('attribute(input)', () => {
  test('finds a ±10 % converter among foreign lines and its fundamental within three of its own sigma', () => {
    const truth = 318_442;
    const result = new Scene(1)
      .comb(truth)
      .foreign(120)
      .attribute([source('U1', 300e3)]);
    const comb = combOf(result, 'U1')[0]!;
    expect(Math.abs(comb.fundamentalHz - truth)).toBeLessThan(3 * comb.fundamentalSigmaHz + 0.01 * 60);
    expect(comb.fundamentalSigmaHz).toBeLessThan(1);
    expect(comb.harmonicsSeen.length).toBeGreaterThan(50);
    expect(comb.chance).toBeLessThan(1e-20);
  });

  test('does not explain everything above the tenth harmonic by a ±5 % converter: foreign lines stay unexplained', () => {
    const scene = new Scene(2).comb(412_345).foreign(150);
    const result = scene.attribute([source('U1', 400e3, { tolerancePpm: 50_000 })]);
    const named = result.explanations.filter((e) => e.cause === 'source').length;
    expect(named).toBeLessThan(60);
    expect(result.explanations.filter((e) => e.cause === 'unexplained').length).toBeGreaterThan(130);
  });

  test('claims nothing for sources that do not run, though every foreign line lies in some tolerance window', () => {
    const result = new Scene(3)
      .foreign(200)
      .attribute([source('U1', 300e3), source('U2', 415e3), source('U3', 640e3), source('U4', 88e3)]);
    expect(result.explanations.every((e) => e.cause === 'unexplained')).toBe(true);
    expect(result.notSeen.map((entry) => entry.source)).toEqual(['U1', 'U2', 'U3', 'U4']);
    expect(result.notSeen[0]!.reason).toMatch(/floor/);
  });

  test('tells a source from its half: a comb at 410 kHz is not claimed for a 205 kHz entry', () => {
    const result = new Scene(4)
      .comb(410_120)
      .foreign(40)
      .attribute([source('LOW', 205e3), source('HIGH', 400e3)]);
    expect(combOf(result, 'HIGH')).toHaveLength(1);
    expect(combOf(result, 'LOW')).toHaveLength(0);
  });

  test('tells a source from its double: a comb at 205 kHz is not claimed for a 400 kHz entry', () => {
    const result = new Scene(5)
      .comb(205_060)
      .foreign(40)
      .attribute([source('LOW', 205e3), source('HIGH', 400e3)]);
    expect(combOf(result, 'LOW')).toHaveLength(1);
    expect(combOf(result, 'HIGH')).toHaveLength(0);
  });

  test('keeps both of two sources in a 3:2 ratio and calls their common lines shared', () => {
    const result = new Scene(6)
      .comb(200_000)
      .comb(300_000)
      .foreign(40)
      .attribute([source('A', 200e3, { tolerancePpm: 20_000 }), source('B', 300e3, { tolerancePpm: 20_000 })]);
    expect(combOf(result, 'A')).toHaveLength(1);
    expect(combOf(result, 'B')).toHaveLength(1);
    const common = result.spurs.flatMap((spur, i) =>
      Math.abs(spur.frequencyHz / 600e3 - Math.round(spur.frequencyHz / 600e3)) < 5e-4 ? [result.explanations[i]!] : [],
    );
    expect(common.length).toBeGreaterThan(25);
    expect(common.filter((e) => e.cause === 'shared').length / common.length).toBeGreaterThan(0.9);
  });

  test('finds a source that shows only its odd harmonics', () => {
    const result = new Scene(7)
      .comb(251_160, (n) => n % 2 === 1)
      .foreign(60)
      .attribute([source('PWM', 250e3)]);
    const comb = combOf(result, 'PWM')[0]!;
    expect(comb.fundamentalHz).toBeCloseTo(251_160, -1);
    expect(comb.harmonicsSeen.every((n) => n % 2 === 1 || comb.harmonicsSeen.length > 30)).toBe(true);
  });

  test('finds a source with a third of its lines missing', () => {
    const result = new Scene(8)
      .comb(333_210, (_, u) => u > 1 / 3)
      .foreign(80)
      .attribute([source('U1', 330e3)]);
    expect(combOf(result, 'U1')).toHaveLength(1);
  });

  test('calls a line ambiguous, and names both, where one comb lies in the range of two entries', () => {
    const result = new Scene(9)
      .comb(304_000)
      .foreign(30)
      .attribute([source('A', 300e3, { tolerancePpm: 50_000 }), source('B', 310e3, { tolerancePpm: 50_000 })]);
    const ambiguous = result.explanations.filter((e) => e.cause === 'ambiguous');
    expect(ambiguous.length).toBeGreaterThan(50);
    expect(ambiguous[0]!.candidates.map((c) => c.source).sort()).toEqual(['A', 'B']);
    expect(result.explanations.some((e) => e.cause === 'source')).toBe(false);
    expect(result.combs[0]!.couldAlsoBe).toEqual(expect.arrayContaining(['A', 'B']));
  });

  test('gives a comb to the one entry left when the other entry of its range can only own another comb', () => {
    const result = new Scene(10)
      .comb(304_000)
      .comb(322_000)
      .foreign(30)
      .attribute([source('A', 300e3, { tolerancePpm: 50_000 }), source('B', 312e3, { tolerancePpm: 50_000 })]);
    expect(combOf(result, 'A')[0]!.fundamentalHz).toBeCloseTo(304_000, -1);
    expect(combOf(result, 'B')[0]!.fundamentalHz).toBeCloseTo(322_000, -1);
  });

  test('separates the six regulators 117.6 … 121.1 kHz of one satellite, moved by the published 5 K drift', () => {
    // published in-flight example: 117.6, 118.4, 119.3, 120.7, 121.0, 121.1 kHz, about 84 Hz/K; 5 K here
    const khz = [117.6, 118.4, 119.3, 120.7, 121.0, 121.1];
    const scene = new Scene(11, 0.1e6, 6e6, 50, 2);
    for (const f of khz) scene.comb(f * 1e3 + 5 * 84);
    const sources = khz.map((f, i) => source(`R${i + 1}`, f * 1e3 + 5 * 84, { tolerancePpm: 300 }));
    const result = scene.attribute(sources);
    for (const entry of sources) expect(combOf(result, entry.designator)).toHaveLength(1);
    expect(result.combs).toHaveLength(6);
  });

  test('moves six regulators by the published drift and still knows each at its hundredth harmonic', () => {
    // 117.6 … 121.1 kHz, +84 Hz/K, 5 K: harmonic 100 lies at 11.76 … 12.11 MHz and moves by 42 kHz, 840 bandwidths
    const khz = [117.6, 118.4, 119.3, 120.7, 121.0, 121.1];
    const scene = new Scene(51, 0.1e6, 12.5e6, 50, 2);
    for (const f of khz) scene.comb(f * 1e3 + 5 * 84);
    const result = scene.attribute(khz.map((f, i) => source(`R${i + 1}`, f * 1e3, { tolerancePpm: 4_000 })));
    expect(result.combs).toHaveLength(6);
    for (const [i, f] of khz.entries()) {
      const comb = result.combs.find((one) => Math.abs(one.fundamentalHz - f * 1e3 - 420) < 5)!;
      expect(Math.abs(comb.fundamentalHz - f * 1e3 - 420)).toBeLessThan(3 * comb.fundamentalSigmaHz);
      expect([comb.source, ...comb.couldAlsoBe]).toContain(`R${i + 1}`);
      const at = result.spurs.findIndex((spur) => Math.abs(spur.frequencyHz - 100 * (f * 1e3 + 420)) < 10);
      expect(result.explanations[at]!.candidates).toContainEqual(
        expect.objectContaining({ source: `R${i + 1}`, harmonic: 100 }),
      );
    }
  });

  test('claims no entry at a multiple or a simple ratio of a comb nobody registered, and finds that comb', () => {
    const ratios = [2, 3, 4, 3 / 2, 5 / 2, 4 / 3, 2 / 3, 1 / 2];
    for (let seed = 60; seed < 70; seed++) {
      const truth = 150e3 + 100e3 * seeded(seed).uniform();
      const entries = ratios.map((ratio, i) => source(`V${i}`, ratio * truth * 1.0005, { tolerancePpm: 3_000 }));
      const result = new Scene(seed)
        .comb(truth, (_, u) => u > 0.2)
        .foreign(30)
        .attribute(entries);
      expect(result.combs.map((comb) => comb.source ?? comb.couldAlsoBe)).toEqual([[]]);
      expect(Math.abs(result.combs[0]!.fundamentalHz / truth - 1)).toBeLessThan(20e-6);
    }
  });

  test('gives the strong even lines of a half-frequency comb to the converter, and says what the odd ones are', () => {
    const result = new Scene(70)
      .comb(151_230, undefined, (n) => (n % 2 === 0 ? -60 : -72))
      .foreign(20)
      .attribute([source('V1', 300e3, { tolerancePpm: 30_000 })]);
    expect(combOf(result, 'V1')[0]!.fundamentalHz).toBeCloseTo(302_460, -1);
    result.spurs.forEach((spur, i) => {
      const n = spur.frequencyHz / 151_230;
      if (Math.abs(n - Math.round(n)) > 1e-3) return;
      const { cause, candidates, why } = result.explanations[i]!;
      if (Math.round(n) % 2 === 0)
        expect({ cause, source: candidates[0]!.source, harmonic: candidates[0]!.harmonic }).toEqual({
          cause: 'source',
          source: 'V1',
          harmonic: Math.round(n) / 2,
        });
      else expect([cause, why]).toEqual(['unknown-comb', expect.stringContaining('half the frequency of V1')]);
    });
  });

  test('an entry that half-frequency lines of another fall into still owns its own comb', () => {
    const result = new Scene(75)
      .comb(151_230, undefined, (n) => (n % 2 === 0 ? -60 : -72))
      .comb(157_110)
      .attribute([source('V1', 300e3, { tolerancePpm: 30_000 }), source('V2', 155e3, { tolerancePpm: 50_000 })]);
    expect(result.combs.find((comb) => comb.source === 'V2')!.fundamentalHz).toBeCloseTo(157_110, -1);
    expect(combOf(result, 'V1')).toHaveLength(1);
    const odd = result.spurs.flatMap(({ frequencyHz }, i) => {
      const n = frequencyHz / 151_230;
      return Math.abs(n - Math.round(n)) < 5e-4 && Math.round(n) % 2 === 1 ? [result.explanations[i]!] : [];
    });
    expect(odd.filter(({ cause }) => cause === 'source').length).toBeLessThan(3);
  });

  test('stations on a raster within the range of an entry do not take its comb from it', () => {
    const { uniform } = seeded(76);
    const scene = new Scene(76).comb(93_110);
    for (let channel = 20; channel < 60; channel++) if (uniform() < 0.5) scene.line(channel * 100e3);
    const result = scene.attribute([source('V1', 95e3, { tolerancePpm: 60_000 })]);
    expect(result.combs.map((comb) => comb.source)).toEqual(['V1']);
    expect(combOf(result, 'V1')[0]!.fundamentalHz).toBeCloseTo(93_110, -1);
  });

  test('does not choose between a comb nobody registered and a converter with half-frequency lines of its own strength', () => {
    const result = new Scene(71).comb(151_230).attribute([source('V1', 300e3, { tolerancePpm: 30_000 })]);
    expect(combOf(result, 'V1')).toHaveLength(0);
    const even = result.explanations.filter((e) => e.candidates.find((c) => c.source === null)!.harmonic % 2 === 0);
    expect(even.length).toBeGreaterThan(55);
    expect(even.every((e) => e.candidates.some((c) => c.source === 'V1'))).toBe(true);
    expect(new Set(even.map((e) => e.cause))).toEqual(new Set(['ambiguous']));
  });

  test('tells sources locked to one oscillator by their own lines; where they coincide frequency cannot choose', () => {
    const locked = (name: string, numerator: number): ReturnType<typeof source> =>
      source(name, 200e3 * numerator, { lock: { to: 'A', numerator, denominator: 1 } });
    const entries = [source('A', 200e3, { tolerancePpm: 20_000 }), locked('B', 2)];
    const plain = new Scene(72).comb(201_000).attribute(entries);
    const causes = (odd: number): Set<string> =>
      new Set(plain.explanations.flatMap((e) => (e.candidates[0]!.harmonic % 2 === odd ? [e.cause] : [])));
    expect(causes(1)).toEqual(new Set(['source']));
    expect(causes(0)).toEqual(new Set(['ambiguous']));
    // where every second line stands out, both are there
    const both = new Scene(73).comb(201_000, undefined, (n) => (n % 2 === 0 ? -60 : -75)).attribute(entries);
    expect(both.combs.map((comb) => comb.source).sort()).toEqual(['A', 'B']);
    expect(both.explanations.filter((e) => e.cause === 'shared').length).toBeGreaterThan(40);
  });

  test('takes stations on some channels of a raster for no comb, and says so; a full comb at the same spacing is one', () => {
    const { uniform } = seeded(74);
    const stations = new Scene(74);
    for (let channel = 60; channel < 110; channel++) if (uniform() < 0.4) stations.line(channel * 100e3);
    const result = stations.attribute([]);
    expect(result.combs).toEqual([]);
    expect(result.warnings).toEqual([expect.stringMatching(/multiples of 100 kHz, as stations/)]);
    const comb = new Scene(75).comb(100e3).attribute([]);
    expect(comb.combs).toHaveLength(1);
    expect(comb.warnings).toEqual([]);
  });

  test('does not tell the six regulators apart by nominal values that all overlap, and says so', () => {
    const khz = [117.6, 118.4, 119.3, 120.7, 121.0, 121.1];
    const scene = new Scene(12, 0.1e6, 6e6, 50, 2);
    for (const f of khz) scene.comb(f * 1e3);
    const result = scene.attribute(khz.map((_, i) => source(`R${i + 1}`, 120e3)));
    expect(result.combs).toHaveLength(6);
    expect(result.explanations.some((e) => e.cause === 'source')).toBe(false);
    expect(result.explanations.filter((e) => e.cause === 'ambiguous' || e.cause === 'shared').length).toBeGreaterThan(
      200,
    );
  });

  test('finds a comb nobody registered, and never as a sub-multiple', () => {
    for (let seed = 20; seed < 30; seed++) {
      const truth = 400e3 + 50e3 * seeded(seed).uniform();
      const result = new Scene(seed)
        .comb(truth)
        .foreign(60)
        .attribute([source('U1', 150e3)]);
      expect(result.combs).toHaveLength(1);
      expect(result.combs[0]!.source).toBeNull();
      expect(Math.abs(result.combs[0]!.fundamentalHz / truth - 1)).toBeLessThan(20e-6);
    }
  });

  test('does not search for a source that the conditions state to be off', () => {
    const result = new Scene(13).comb(318_442).attribute([source('U1', 300e3)], ['U1']);
    expect(result.combs[0]!.source).toBeNull();
    expect(result.notSeen).toEqual([{ source: 'U1', reason: 'stated to be off in this capture' }]);
  });

  test('keeps a locked source to its ratio: its comb at the wrong ratio is not its own', () => {
    const clock = source('XO', 16.384e6, { kind: 'clock', tolerancePpm: 25 });
    const locked = source('DCDC', 409.6e3, { lock: { to: 'XO', numerator: 1, denominator: 40 } });
    const right = new Scene(14).comb(409_600 * (1 + 10e-6)).attribute([clock, locked]);
    expect(combOf(right, 'DCDC')).toHaveLength(1);
    const wrong = new Scene(15).comb(409_900).attribute([clock, locked]);
    expect(combOf(wrong, 'DCDC')).toHaveLength(0);
  });

  test('names a lone crystal line only as a candidate, with the chance of such a hit', () => {
    const clock = source('XO', 16.384e6, { kind: 'clock', tolerancePpm: 25 });
    const result = new Scene(40)
      .foreign(150)
      .line(16.384e6 + 200)
      .attribute([clock]);
    const i = result.spurs.findIndex((spur) => Math.abs(spur.frequencyHz - 16.3842e6) < 500);
    expect(result.explanations[i]!.cause).toBe('unexplained');
    expect(result.explanations[i]!.candidates[0]).toMatchObject({ source: 'XO', harmonic: 1 });
    expect(result.explanations[i]!.candidates[0]!.chance).toBeGreaterThan(1e-3);
  });

  test('calls a converter line at a crystal frequency ambiguous', () => {
    const result = new Scene(41)
      .comb(409_600)
      .attribute([source('DCDC', 405e3), source('XO', 16.384e6, { kind: 'clock', tolerancePpm: 25 })]);
    const i = result.spurs.findIndex((spur) => Math.abs(spur.frequencyHz - 16.384e6) < 500);
    expect(result.explanations[i]!.cause).toBe('ambiguous');
    expect(result.explanations[i]!.candidates.map((c) => c.source)).toEqual(['DCDC', 'XO']);
  });

  test('says why a source is not seen: above the span, no harmonic inside, teeth too close', () => {
    const result = new Scene(16)
      .foreign(20)
      .attribute([
        source('VHF', 100e6, { kind: 'clock' }),
        source('LOW', 100e3, { maxHarmonic: 3 }),
        source('PWM', 5e3),
      ]);
    expect(result.notSeen.map((entry) => entry.reason)).toEqual([
      expect.stringContaining('above the span'),
      expect.stringContaining('no harmonic'),
      expect.stringContaining('told apart'),
    ]);
  });

  test('a capture without lines or a register without sources is no error', () => {
    expect(new Scene(17).attribute([source('U1', 300e3)]).explanations).toEqual([]);
    expect(new Scene(18).foreign(10).attribute([]).explanations).toHaveLength(10);
  });

  test('gives what stands at zero hertz to the instrument, and the comb keeps its lines', () => {
    const result = new Scene(42, 0, 10e6)
      .line(10)
      .comb(400_000)
      .attribute([source('U1', 400e3)]);
    expect(result.explanations[0]!.cause).toBe('instrument');
    expect(result.explanations[1]).toMatchObject({ cause: 'source', candidates: [{ source: 'U1', harmonic: 1 }] });
  });

  test('follows a converter that drifts by 200 ppm while the sweep runs', () => {
    const scene = new Scene(19);
    const f0 = 305_000;
    for (let n = 4; n * f0 < 20e6; n++) scene.line(n * f0 * (1 + 200e-6 * ((n * f0 - 10.5e6) / 19e6)));
    const result = scene.foreign(40).attribute([source('U1', 300e3)]);
    expect(combOf(result, 'U1')[0]!.harmonicsSeen.length).toBeGreaterThan(55);
  });

  test('the order of the register changes nothing', () => {
    const entries = [source('A', 200e3), source('B', 333e3), source('C', 512e3), source('D', 150e3)];
    const scene = (): Scene => new Scene(31).comb(204_300).comb(331_000).comb(509_000).foreign(60);
    const one = scene().attribute(entries);
    const two = scene().attribute([...entries].reverse());
    expect(two.explanations.map((e) => [e.cause, e.candidates[0]?.source])).toEqual(
      one.explanations.map((e) => [e.cause, e.candidates[0]?.source]),
    );
  });

  test('on captures of random lines a claim at chance below 0.05 comes in at most 5 % of captures (sampling error added)', () => {
    const captures = 200;
    let claims = 0;
    for (let seed = 0; seed < captures; seed++) {
      const scene = new Scene(5000 + seed).foreign(60 + (seed % 5) * 60);
      const { spurs, frequencyHz } = scene.spurs();
      const result = attributeAt(spurs, frequencyHz, 0.05);
      if (result.combs.some((comb) => comb.source !== null || comb.couldAlsoBe.length > 0)) claims++;
    }
    // 200 captures at 5 %: 10 expected, σ = 3.1; four sigma above
    expect(claims).toBeLessThanOrEqual(10 + 4 * 3.1);
  });
});

function attributeAt(spurs: readonly Spur[], frequencyHz: Float64Array, claimChance: number) {
  return attribute({
    spurs,
    frequencyHz,
    rbwHz: 3000,
    sparse: false,
    sources: [source('U1', 300e3), source('U2', 415e3), source('U3', 640e3), source('X1', 10e6, { kind: 'clock' })],
    sourcesOff: [],
    claimChance,
    matchSigma: 3,
    axisPpm: 1,
  });
}
