import type { MixingInput } from '../../../src-main/engine/mixing/explain-mixing.ts';
import { source } from '../attribution/scene.ts';
import { band, LineScene } from './line-scene.ts';

const SOURCES = [
  source('V1', 3e5, { tolerancePpm: 50_000 }),
  source('V2', 7.1e5, { tolerancePpm: 30_000 }),
  source('XO', 4.096e6, { kind: 'clock', tolerancePpm: 50 }),
];

/** Captures in which nothing beats, carries sidebands or folds, whatever else their lines are. */
export const NULL_KINDS: Readonly<Record<string, (scene: LineScene) => void>> = {
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

/** Register, sampling band and up to five claimed combs beside the lines of one kind: everything that a false claim could use. */
export function nullCapture(kind: string, seed: number): { scene: LineScene; more: Partial<MixingInput> } {
  const scene = new LineScene(seed);
  const combs = Math.floor(scene.between(0, 6));
  for (let c = 1; c <= combs; c++)
    scene.comb(
      `U${c}`,
      6e4 * 33 ** scene.random.uniform(),
      scene.between(15, 45),
      scene.between(0.4, 1),
      scene.between(0.2, 5),
    );
  NULL_KINDS[kind]!(scene);
  return { scene, more: { claimChance: 0.1, sources: SOURCES, bands: [band('rx', { sampleRateHz: 45e6 })] } };
}

export { SOURCES as NULL_SOURCES };
