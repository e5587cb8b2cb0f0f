import type { CompareSettings } from '../../model/compare-settings.ts';
import type { Side } from './side.ts';

/** How well a level repeats when the same thing is set up and measured again. */
export interface Repeatability {
  /** One standard deviation for one set-up. */
  readonly oneDb: number;
  /** The same for the mean of each side. */
  readonly beforeDb: number;
  readonly afterDb: number;
  /** Degrees of freedom behind it; Infinity for a stated value. */
  readonly degrees: number;
  readonly from: string;
}

/** Lines that stand this far over the floor show the set-up rather than the noise; a choice of this tool. */
const CLEAR_OVER_FLOOR_DB = 10;

/**
 * Repeatability of the set-up: from re-rigged repeats where there are some, else the stated default.
 *
 * Sweeps of one set-up say nothing of it, so they leave the default in place and average only the noise. Re-rigged repeats: the
 * pooled variance of each clear line's level over the files of its side, less the noise of the levels. All lines share what was done
 * to the set-up, so the degrees of freedom are those of the files (files − 1 a side), however many lines there are.
 */
export function repeatabilityOf(before: Side, after: Side, settings: CompareSettings): Repeatability {
  const files = [before.traces.length, after.traces.length];
  const several = files.some((count) => count > 1);
  const stated = (from: string): Repeatability => ({
    oneDb: settings.repeatabilityDb,
    beforeDb: settings.repeatabilityDb,
    afterDb: settings.repeatabilityDb,
    degrees: Infinity,
    from,
  });
  if (!several) return stated('no repeats: the stated default');
  if (settings.repeats === 'sweep-to-sweep')
    return stated(
      'the files of a side were taken as sweeps of one set-up, which give the noise but not the set-up: the stated default',
    );
  let sum = 0;
  let noise = 0;
  let count = 0;
  for (const side of [before, after]) {
    const scatter = sideScatter(side);
    sum += scatter.sum;
    noise += scatter.noise;
    count += scatter.count;
  }
  if (count === 0) return stated('re-rigged repeats have no clear line in common: the stated default');
  const oneDb = Math.sqrt(Math.max(0, sum / count - noise / count));
  const degrees = files.reduce((total, n) => total + n - 1, 0);
  return {
    oneDb,
    beforeDb: oneDb / Math.sqrt(files[0]!),
    afterDb: oneDb / Math.sqrt(files[1]!),
    degrees,
    from: `${files[0]} and ${files[1]} re-rigged files, ${degrees} degrees of freedom`,
  };
}

/** Over the clear lines seen in every file: squared deviations, the part that noise explains, and how many there are to divide by. */
function sideScatter(side: Side): { sum: number; noise: number; count: number } {
  const files = side.traces.length;
  let sum = 0;
  let noise = 0;
  let count = 0;
  if (files < 2) return { sum, noise, count };
  side.spurs.forEach((merged, i) => {
    if (merged.seenIn < files || merged.overFloorDb < CLEAR_OVER_FLOOR_DB || merged.shape !== 'line') return;
    const levels = side.traces.map((trace, file) => {
      const spur = trace.triaged.triage.spurs[side.spurInFile[i * files + file]!]!;
      return { levelDb: spur.levelDb + trace.offsetDb, sigmaDb: spur.levelSigmaDb };
    });
    const mean = levels.reduce((total, level) => total + level.levelDb, 0) / files;
    sum += levels.reduce((total, level) => total + (level.levelDb - mean) ** 2, 0);
    noise += (levels.reduce((total, level) => total + level.sigmaDb ** 2, 0) * (files - 1)) / files;
    count += files - 1;
  });
  return { sum, noise, count };
}
