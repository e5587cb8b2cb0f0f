import { describe, expect, it } from 'vitest';
import { plainCase } from './cases/plain-case.ts';
import { runCampaign } from './run-campaign.ts';
import type { Bounds } from './score/tally.ts';
import { figuresOf, holds } from './score/tally.ts';

/** A handful of cases: bounds a little looser than those of the full campaign (score/bounds.ts), for the sampling error. */
const LOOSE: Bounds = {
  'recall of clear lines': { least: 0.975 },
  'phantoms a capture': { most: 1.5 },
  'frequency error, isolated, RBW rms': { most: 0.08 },
  'right source and harmonic': { least: 0.92 },
  'wrong, of judged lines': { most: 0.02 },
  'wrong, of all lines named': { most: 0.03 },
};

describe('analyseTrace over captures with known truth', () => {
  it('finds and names the lines of six ordinary benches within the bounds', () => {
    const figures = figuresOf(runCampaign(plainCase, 6, 1), LOOSE);
    expect(figures.filter((figure) => !holds(figure))).toEqual([]);
    // the captures hold enough lines for the shares to mean something
    expect(figures.find((figure) => figure.name === 'recall of clear lines')!.of).toBeGreaterThan(1000);
  });
});
