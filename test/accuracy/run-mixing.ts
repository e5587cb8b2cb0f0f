/**
 * How often beats, sidebands and folds are claimed of captures that hold none, at each level of chance, and how often of captures that do.
 * Exit status 1 where the stated chance is exceeded beyond sampling.
 *
 *   npx node test/accuracy/run-mixing.ts --captures 300 --seed 1
 */
import { parseArgs } from 'node:util';
import { LineScene } from '../engine/mixing/line-scene.ts';
import { NULL_KINDS, nullCapture } from '../engine/mixing/null-scenes.ts';
import { mostClaims, NULL_LEVELS } from './run-null.ts';

const { values } = parseArgs({
  options: { captures: { type: 'string', default: '300' }, seed: { type: 'string', default: '1' } },
});
const captures = Number(values.captures);
const firstSeed = 1_000_000 * Number(values.seed);

for (const kind of Object.keys(NULL_KINDS)) {
  const smallest = Array.from({ length: captures }, (_, i) => {
    const { scene, more } = nullCapture(kind, firstSeed + i);
    return Math.min(1, ...scene.explain(more).families.map(({ chance }) => chance));
  });
  const cells = NULL_LEVELS.map((level) => {
    const claimed = smallest.filter((chance) => chance < level).length;
    if (claimed > mostClaims(level, captures)) process.exitCode = 1;
    return `chance < ${level}: ${claimed} (≤ ${mostClaims(level, captures).toFixed(1)})`;
  });
  process.stdout.write(`${kind.padEnd(34)} of ${captures} captures, ${cells.join(', ')}\n`);
}

const fold = (hz: number): number => Math.abs(hz - 45e6 * Math.round(hz / 45e6));
/** What is there, and how many lines of it at the least are to be explained for it to count as found. */
const POWERS: Readonly<Record<string, readonly [kind: string, lines: number, make: (scene: LineScene) => void]>> = {
  'one pair about one tooth of a comb': [
    'sideband',
    2,
    (scene) =>
      void scene
        .comb('U1', 3.1e5, 35)
        .line(3.1e6 + 41.3e3)
        .line(3.1e6 - 41.3e3),
  ],
  'pairs about three teeth': ['sideband', 6, (scene) => pairs(scene.comb('U1', 3.1e5, 35, 1), 3)],
  'pairs about ten teeth': ['sideband', 18, (scene) => pairs(scene.comb('U1', 3.1e5, 35, 1), 10)],
  'one sum of two combs': ['beat', 1, (scene) => products(scene, [[1, 1]])],
  'two products of two combs': [
    'beat',
    2,
    (scene) =>
      products(scene, [
        [1, 1],
        [2, -1],
      ]),
  ],
  'four products of two combs': [
    'beat',
    4,
    (scene) =>
      products(scene, [
        [1, 1],
        [2, -1],
        [2, 1],
        [1, 2],
      ]),
  ],
  'five folded harmonics of a claimed comb': [
    'fold',
    5,
    (scene) => folded(scene.comb('U1', 5.2013e5, 35), 5.2013e5, 55, 60),
  ],
  'five folded harmonics of a crystal': ['fold', 5, (scene) => folded(scene, 4.09612e6, 6, 11)],
  'five folded harmonics of a ±5 % converter': ['fold', 5, (scene) => folded(scene, 3.0551e5, 90, 95)],
};

function pairs(scene: LineScene, teeth: number): void {
  for (let n = 5; n < 5 + teeth; n++) scene.line(n * 3.1e5 + 41.3e3, 12).line(n * 3.1e5 - 41.3e3, 12);
}

function products(scene: LineScene, orders: readonly (readonly [number, number])[]): void {
  scene.comb('U1', 7.2013e5, 35).comb('U2', 3.0127e5, 35);
  for (const [m, k] of orders) scene.line(m * 7.2013e5 + k * 3.0127e5, 15);
}

function folded(scene: LineScene, hz: number, first: number, last: number): void {
  for (let n = first; n < last; n++) scene.line(fold(n * hz), 12);
}

for (const [name, [kind, lines, make]] of Object.entries(POWERS)) {
  let found = 0;
  const tried = Math.ceil(captures / 10);
  for (let i = 0; i < tried; i++) {
    const scene = new LineScene(firstSeed + 500_000 + i);
    make(scene);
    const { more } = nullCapture('lines at random', 1);
    const { families } = scene.foreign(15).explain({ ...more, claimChance: 1e-3 });
    if (families.some((family) => family.kind === kind && family.spurs.length >= lines)) found++;
  }
  process.stdout.write(
    `${name.padEnd(44)} among 15 lines at random: found in ${found} of ${tried} at chance < 0.001\n`,
  );
}
