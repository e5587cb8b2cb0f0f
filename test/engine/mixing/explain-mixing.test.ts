import { describe, expect, it } from 'vitest';
import { source } from '../attribution/scene.ts';
import { band, LineScene } from './line-scene.ts';

const SOURCES = [
  source('V1', 3e5, { tolerancePpm: 50_000 }),
  source('V2', 7.1e5, { tolerancePpm: 30_000 }),
  source('XO', 4.096e6, { kind: 'clock', tolerancePpm: 50 }),
];
const BANDS = [band('rx', { sampleRateHz: 45e6 })];
const CAPTURES = 60;

/** Captures in which nothing beats, carries sidebands or folds, whatever else their lines are. */
const NULLS: Readonly<Record<string, (scene: LineScene) => void>> = {
  'lines at random': (scene) => void scene.foreign(Math.floor(scene.between(5, 120))),
  'lines in clusters': (scene) => {
    for (let i = 0; i < 3; i++) {
      const at = scene.between(1e6, 18e6);
      scene.foreign(Math.floor(scene.between(5, 30)), at, at + scene.between(2e5, 2e6));
    }
  },
  'stations on a raster': (scene) => {
    for (let i = 0; i < 2; i++) {
      const raster = [5e3, 9e3, 10e3, 100e3][Math.floor(scene.between(0, 4))]!;
      const at = scene.between(1e6, 18e6);
      scene.stations(Math.floor(scene.between(10, 40)), raster, at, at + scene.between(20, 60) * raster);
    }
    scene.comb('CLK', 1e6, 40, 1, 0.5).foreign(10);
  },
  'combs too short to be claimed': (scene) => {
    const combs = Math.floor(scene.between(1, 6));
    for (let i = 0; i < combs; i++) {
      const hz = scene.between(2e5, 2e6);
      const first = Math.floor(scene.between(1, 8));
      for (let n = first; n < first + 5; n++)
        if (scene.random.uniform() < 0.6) scene.line(n * hz, scene.between(10, 30));
    }
    scene.foreign(10);
  },
  'lines at half a comb’s frequency': (scene) => {
    for (const { fundamentalHz } of scene.combs)
      for (let n = 1; n < 30; n++) if (scene.random.uniform() < 0.3) scene.line((n + 0.5) * fundamentalHz, 10);
    scene.foreign(10);
  },
};

describe('explainMixing where nothing mixes', () => {
  it.each(Object.keys(NULLS))('claims no more families than their stated chance allows: %s', (kind) => {
    const smallest: number[] = [];
    for (let seed = 0; seed < CAPTURES; seed++) {
      const scene = new LineScene(seed + 40_000);
      const combs = Math.floor(scene.between(0, 6));
      for (let c = 1; c <= combs; c++)
        scene.comb(
          `U${c}`,
          6e4 * 33 ** scene.random.uniform(),
          scene.between(15, 45),
          scene.between(0.4, 1),
          scene.between(0.2, 5),
        );
      NULLS[kind]!(scene);
      const { families } = scene.explain({ claimChance: 0.1, sources: SOURCES, bands: BANDS });
      smallest.push(Math.min(1, ...families.map(({ chance }) => chance)));
    }
    for (const level of [0.1, 0.01, 0.001])
      expect(smallest.filter((chance) => chance < level).length, `chance < ${level}`).toBeLessThanOrEqual(
        level * CAPTURES + 3 * Math.sqrt(level * (1 - level) * CAPTURES),
      );
  });

  it('has nothing to say of no lines, or of one', () => {
    expect(new LineScene(1).explain().families).toEqual([]);
    expect(new LineScene(1).line(5e6).explain({ bands: BANDS, sources: SOURCES }).families).toEqual([]);
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
    const { families } = scene.foreign(15).explain({ bands: BANDS, sources: SOURCES });
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
