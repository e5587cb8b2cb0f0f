import type { Bounds } from './tally.ts';

/** What the ordinary campaign has to keep. A choice of this project. */
export const ORDINARY_BOUNDS: Bounds = {
  'recall of clear lines': { least: 0.98 },
  'phantoms a capture': { most: 1 },
  'right source and harmonic': { least: 0.93 },
  'wrong, of judged lines': { most: 0.02 },
  'wrong, of all lines named': { most: 0.02 },
};

/** What the hard campaign is to keep. A choice of this project. */
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
};
