import { describe, expect, it } from 'vitest';
import { lineLimitTable } from '../../../src-main/engine/tracking/line-limit.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { TraceLimits } from '../../../src-main/engine/tracking/window-limit.ts';
import { simulateTrace } from './bench-simulator.ts';
import { handTriage, type HandCapture } from './hand-triage.ts';
import { seededRandom } from './seeded-random.ts';

function limitsOf(capture: HandCapture) {
  const triaged = handTriage(capture);
  return new TraceLimits(commonScale([triaged], [triaged]).before[0]!, 0.95, (averages) =>
    lineLimitTable(averages, 0.95),
  );
}

const around = (centreHz: number, half: number) => ({ lowHz: centreHz - half, highHz: centreHz + half, centreHz });

describe('TraceLimits.within', () => {
  it('lies above the true power of an unseen line in at least 95 % of sweeps, wherever between two points it falls', () => {
    const random = seededRandom(71);
    const averages = 8;
    let held = 0;
    const trials = 400;
    for (let trial = 0; trial < trials; trial++) {
      const lineHz = 1.5e6 + 5e3 * random();
      const trace = simulateTrace({
        startHz: 1e6,
        stopHz: 2e6,
        points: 201,
        rbwHz: 10e3,
        averages,
        floorDb: () => -100,
        lines: [{ frequencyHz: lineHz, levelDb: -98 }],
        random,
      });
      const triaged = {
        ...handTriage({ lines: [], startHz: 1e6, stopHz: 2e6, points: 201, averages }),
        trace,
        levelDb: trace.level,
      };
      const side = commonScale([triaged], [triaged]).before[0]!;
      const limits = new TraceLimits(side, 0.95, (k) => lineLimitTable(k, 0.95));
      if (limits.within(around(lineHz, 1e3), null).limitDb! >= -98) held++;
    }
    expect(held / trials).toBeGreaterThan(0.95 - 2.5 * Math.sqrt((0.95 * 0.05) / trials));
  });

  it('rises with the width of the window and takes the highest point in it', () => {
    const limits = limitsOf({ lines: [{ hz: 5.1e6, db: -80, found: false }] });
    const narrow = limits.within(around(5e6, 5e3), null);
    const wide = limits.within(around(5e6, 200e3), null);
    expect(wide.limitDb!).toBeGreaterThan(-80.5);
    expect(wide.atHz).toBeCloseTo(5.1e6, -4);
    expect(narrow.limitDb!).toBeLessThan(-99);
  });

  it('passes over the points of spurs it is told to', () => {
    const limits = limitsOf({ lines: [{ hz: 5.1e6, db: -80 }] });
    expect(limits.within(around(5e6, 200e3), Uint8Array.of(1)).limitDb!).toBeLessThan(-90);
  });

  it.each([
    ['outside the span', {}, 20e6, 'lies outside the span'],
    ['kept minima', { settings: { averaging: 'min-hold' } }, 5e6, 'was taken keeping minima, which hide lines'],
    [
      'points far apart',
      { points: 201 },
      5.02e6,
      'has points too far apart for its bandwidth: a line can fall between',
    ],
    ['blank points', { noiseDb: () => NaN }, 5e6, 'is blank there'],
  ] as const)('covers nothing: %s', (_, capture, atHz, why) => {
    expect(limitsOf({ lines: [], ...capture }).within(around(atHz, 40e3), null)).toMatchObject({
      limitDb: null,
      uncoveredWhy: why,
    });
  });

  it('subtracts no noise where chi-square does not describe it', () => {
    const { limitDb } = limitsOf({ lines: [], statistic: 'robust-spread' }).within(around(5e6, 1e3), null);
    // the mean and 1.645 spreads of 1.10 dB, and the loss between points
    expect(limitDb!).toBeGreaterThan(-100 + 1.645 * 1.1);
  });
});
