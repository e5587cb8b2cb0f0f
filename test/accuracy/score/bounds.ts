import type { Bounds } from './tally.ts';

/** What every campaign is to keep. A choice of this project. */
export const HARD_BOUNDS: Bounds = {
  'recall of clear lines': { least: 0.995 },
  'phantoms a capture': { most: 0.2 },
  'frequency error, isolated, RBW rms': { most: 0.08 },
  'frequency inside 1 sigma': { least: 0.64, most: 0.72 },
  'frequency inside 2 sigma': { least: 0.93, most: 0.97 },
  'level inside 1 sigma': { least: 0.64, most: 0.72 },
  'level inside 2 sigma': { least: 0.93, most: 0.97 },
  'right source and harmonic': { least: 0.99 },
  'wrong, of judged lines': { most: 0.003 },
  'wrong, of all lines named': { most: 0.003 },
  'only owner: said source': { least: 0.97 },
  'foreign blamed beyond accident': { most: 0.01 },
  'unknown combs found in 20 ppm': { least: 0.97 },
  'unknown combs inside own 3 sigma': { least: 0.97 },
  'false unknown combs a capture': { most: 0.1 },
};

/** The ordinary campaign keeps what the hard one keeps. */
export const ORDINARY_BOUNDS: Bounds = HARD_BOUNDS;
