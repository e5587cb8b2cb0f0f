import { describe, expect, it } from 'vitest';
import { source } from '../attribution/scene.ts';
import { band, LineScene } from './line-scene.ts';
import { NULL_KINDS, NULL_SOURCES, nullCapture } from './null-scenes.ts';

const BANDS = [band('rx', { sampleRateHz: 45e6 })];
const CAPTURES = 60;

describe('explainMixing where nothing mixes', () => {
  it.each(Object.keys(NULL_KINDS))('claims no more families than their stated chance allows: %s', (kind) => {
    const smallest: number[] = [];
    for (let seed = 0; seed < CAPTURES; seed++) {
      const { scene, more } = nullCapture(kind, seed + 40_000);
      const { families } = scene.explain(more);
      smallest.push(Math.min(1, ...families.map(({ chance }) => chance)));
    }
    for (const level of [0.1, 0.01, 0.001])
      expect(smallest.filter((chance) => chance < level).length, `chance < ${level}`).toBeLessThanOrEqual(
        level * CAPTURES + 3 * Math.sqrt(level * (1 - level) * CAPTURES),
      );
  });

  it('has nothing to say of no lines, or of one', () => {
    expect(new LineScene(1).explain().families).toEqual([]);
    expect(new LineScene(1).line(5e6).explain({ bands: BANDS, sources: NULL_SOURCES }).families).toEqual([]);
  });
});

describe('sidebands', () => {
  it('are found about the teeth of a comb, with their spacing, and the source whose fundamental it is', () => {
    const scene = new LineScene(3).comb('U1', 3.1e5, 35, 1).comb('PWM', 62.71e3, 20, 0.3);
    for (let n = 5; n < 12; n++) scene.line(n * 3.1e5 + 62.71e3, 12).line(n * 3.1e5 - 62.71e3, 12);
    const { families, explanations, spurs } = scene.foreign(15).explain();
    expect(families.map(({ kind, sources }) => [kind, sources])).toEqual([['sideband', ['PWM']]]);
    const [family] = families;
    expect(Math.abs(family!.spacingHz! - 62.71e3)).toBeLessThan(3 * family!.spacingSigmaHz!);
    expect(family!.spurs.length).toBeGreaterThanOrEqual(10);
    const line = spurs.findIndex((spur) => Math.abs(spur.frequencyHz - (8 * 3.1e5 + 62.71e3)) < 500);
    expect(explanations[line]!.cause).toBe('sideband');
    expect(explanations[line]!.candidates.map(({ source: name, harmonic }) => [name, harmonic])).toEqual([
      ['U1', 8],
      ['PWM', 1],
    ]);
    expect(explanations[line]!.why).toMatch(
      /sideband at \+62\.7\d\d kHz .* of the strong line at 2\.4\d\d\d MHz.*fundamental of PWM/,
    );
  });

  it('say in whose tolerance the spacing lies where no comb tells it', () => {
    const scene = new LineScene(4).comb('U1', 3.1e5, 35, 1);
    for (let n = 5; n < 15; n++) scene.line(n * 3.1e5 + 41.3e3, 12).line(n * 3.1e5 - 41.3e3, 12);
    const { families } = scene.foreign(15).explain({ sources: [source('HEAT', 41e3, { tolerancePpm: 30_000 })] });
    expect(families[0]).toMatchObject({ kind: 'sideband', sources: ['HEAT'] });
    expect(families[0]!.why).toMatch(/in the tolerance of HEAT/);
  });

  it('are not claimed of one pair among many lines, nor of stations about a strong one', () => {
    const scene = new LineScene(5)
      .comb('U1', 3.1e5, 35)
      .line(3.1e6 + 41.3e3)
      .line(3.1e6 - 41.3e3);
    expect(scene.foreign(60).explain().families).toEqual([]);
    expect(new LineScene(6).line(9e6, 60).stations(40, 5e3, 8.9e6, 9.1e6).explain().families).toEqual([]);
  });
});

describe('beats', () => {
  const [one, two] = [7.2013e5, 3.0127e5];

  it('of two claimed combs are named by their orders where several fit', () => {
    const scene = new LineScene(7).comb('U1', one, 35).comb('U2', two, 35);
    for (const [m, k] of [
      [1, 1],
      [2, -1],
      [2, 1],
      [3, -1],
      [1, 2],
    ] as const)
      scene.line(m * one + k * two, 15);
    const { families, explanations, spurs } = scene.foreign(15).explain();
    expect(families).toHaveLength(1);
    expect(families[0]).toMatchObject({ kind: 'beat', sources: ['U1', 'U2'] });
    const line = spurs.findIndex((spur) => Math.abs(spur.frequencyHz - (2 * one - two)) < 500);
    expect(explanations[line]).toMatchObject({
      cause: 'beat',
      candidates: [
        { source: 'U1', harmonic: 2 },
        { source: 'U2', harmonic: 1 },
      ],
    });
    expect(explanations[line]!.why).toMatch(/\|2 × U1 − U2\| = 1\.1390 MHz, a beat; 5 lines/);
  });

  it('count a product and its multiples once', () => {
    const chanceOf = (products: readonly (readonly [number, number])[]): number => {
      const scene = new LineScene(8).comb('U1', one, 35).comb('U2', two, 35);
      for (const [m, k] of products) scene.line(Math.abs(m * one + k * two), 15);
      return scene
        .foreign(10)
        .explain({ claimChance: 1 })
        .families.find(({ kind }) => kind === 'beat')!.chance;
    };
    const twoOrders = chanceOf([
      [2, -1],
      [2, 1],
    ]);
    const multiples = chanceOf([
      [2, -1],
      [4, -2],
    ]);
    expect(twoOrders).toBeLessThan(0.1 * multiples);
  });
});

describe('folded harmonics', () => {
  const fold = (hz: number): number => Math.abs(hz - 45e6 * Math.round(hz / 45e6));

  it('of a claimed comb are named with source, harmonic and fold', () => {
    const scene = new LineScene(9).comb('U1', 5.2013e5, 35);
    for (let n = 55; n < 75; n++) if (n % 3 !== 0) scene.line(fold(n * 5.2013e5), 12);
    const { families, explanations, spurs } = scene.foreign(15).explain({ bands: BANDS });
    expect(families[0]).toMatchObject({ kind: 'fold', sources: ['U1'], band: 'rx' });
    const line = spurs.findIndex((spur) => Math.abs(spur.frequencyHz - fold(61 * 5.2013e5)) < 500);
    expect(explanations[line]).toMatchObject({ cause: 'source', candidates: [{ source: 'U1', harmonic: 61 }] });
    expect(explanations[line]!.why).toMatch(
      /folded by the sampling at 45\.0000 MHz; if the capture was taken through rx/,
    );
  });

  it('tell a source that has no other line', () => {
    const scene = new LineScene(10);
    for (let n = 6; n < 40; n++) if (n % 4 !== 1) scene.line(fold(n * 4.09612e6), 12);
    const { families } = scene.foreign(15).explain({ bands: BANDS, sources: NULL_SOURCES });
    expect(families.map(({ kind, sources }) => [kind, sources])).toEqual([['fold', ['XO']]]);
  });

  it('are not looked for where the capture came from another instrument', () => {
    const scene = (): LineScene => {
      const made = new LineScene(9).comb('U1', 5.2013e5, 35);
      for (let n = 55; n < 75; n++) made.line(fold(n * 5.2013e5), 12);
      return made;
    };
    const condition = { instrument: 'bench analyser', point: null } as never;
    expect(
      scene()
        .explain({ bands: BANDS, condition })
        .families.filter(({ kind }) => kind === 'fold'),
    ).toEqual([]);
    const through = { instrument: null, point: 'RX' } as never;
    expect(scene().explain({ bands: BANDS, condition: through }).families[0]!.why).toMatch(/taken through rx/);
  });
});
