import { describe, expect, it } from 'vitest';
import { DEFAULT_COMPARE_SETTINGS } from '../../../src-main/model/compare-settings.ts';
import { repeatabilityOf } from '../../../src-main/engine/tracking/repeatability.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { mergeSide } from '../../../src-main/engine/tracking/side.ts';
import { handTriage } from './hand-triage.ts';
import { seededNormal, seededRandom } from './seeded-random.ts';

const RIGGED = { ...DEFAULT_COMPARE_SETTINGS, repeats: 're-rigged' } as const;

function sides(before: number[][], after: number[][]) {
  const file = (levels: number[]) =>
    handTriage({ lines: levels.map((db, k) => ({ hz: 1.5e6 + 0.7e6 * k, db, sigmaDb: 0.1 })) });
  const scale = commonScale(before.map(file), after.map(file));
  const merge = (traces: typeof scale.before) => mergeSide(traces, () => 0.025, { stableMove: 20e-6 });
  return [merge(scale.before), merge(scale.after)] as const;
}

describe('repeatabilityOf', () => {
  it('is the stated default where there are no repeats, or only sweeps of one set-up, and says which', () => {
    const [one, other] = sides([[-60]], [[-60]]);
    expect(repeatabilityOf(one, other, RIGGED)).toMatchObject({
      oneDb: 1,
      beforeDb: 1,
      degrees: Infinity,
      from: expect.stringMatching(/no repeats/) as string,
    });
    const [sweeps, more] = sides([[-60], [-64]], [[-60]]);
    expect(repeatabilityOf(sweeps, more, DEFAULT_COMPARE_SETTINGS)).toMatchObject({
      oneDb: 1,
      from: expect.stringMatching(/sweeps of one set-up/) as string,
    });
  });

  it('finds the set-up scatter that was put in, with the files for degrees of freedom and not the lines', () => {
    const normal = seededNormal(seededRandom(91));
    let squares = 0;
    const trials = 100;
    for (let trial = 0; trial < trials; trial++) {
      const rig = () => {
        const common = 1.5 * normal();
        return Array.from({ length: 10 }, () => -60 + common + 0.1 * normal());
      };
      const found = repeatabilityOf(...sides([rig(), rig(), rig()], [rig(), rig(), rig()]), RIGGED);
      expect(found.degrees).toBe(4);
      expect(found.beforeDb).toBeCloseTo(found.oneDb / Math.sqrt(3), 12);
      squares += found.oneDb ** 2;
    }
    // mean of 100 variances with four degrees of freedom each: 7 % standard deviation
    expect(Math.abs(squares / trials / 1.5 ** 2 - 1)).toBeLessThan(0.25);
  });

  it('falls back on the default where no line is clear and in every file', () => {
    const [one, other] = sides([[-97], [-96]], [[-97], [-96]]);
    expect(repeatabilityOf(one, other, RIGGED).from).toMatch(/no clear line in common/);
  });
});
