import { describe, expect, test } from 'vitest';
import { lookInto } from '../../src-main/engine/reference-look.ts';
import type { WeighedLine } from '../../src-main/engine/evidence/sight.ts';
import { handTriage, type HandCapture } from './tracking/hand-triage.ts';

const LINE: WeighedLine = {
  frequencyHz: 5e6,
  frequencySigmaHz: 100,
  levelDb: -80,
  levelSigmaDb: 0.2,
  humpWidthHz: null,
};
const here = (more: Partial<HandCapture> = {}) => handTriage({ lines: [{ hz: 5e6, db: -80 }], ...more });
const sight = (there: HandCapture, line = LINE, atHz = line.frequencyHz, toleranceHz = 0) =>
  lookInto(here(), handTriage(there), 0.95).look(line, atHz, toleranceHz);

describe('lookInto(here, there, confidence)', () => {
  test('a line within the doubt of both frequencies is seen, with its level in the unit here', () => {
    expect(sight({ lines: [{ hz: 5.0005e6, db: -83 }] })).toMatchObject({ is: 'seen', levelDb: -83 });
    // dBµV = dBm + 106.99 in 50 Ω (check value 106.9897)
    const inVolts = sight({ lines: [{ hz: 5e6, db: 23.99 }], floorDb: 7, unit: 'dBµV' });
    expect(inVolts.is === 'seen' ? inVolts.levelDb : NaN).toBeCloseTo(-83, 1);
  });

  test('a line beyond it is another one, and its skirt lifts the limit', () => {
    const far = sight({ lines: [{ hz: 5.2e6, db: -60 }] });
    const near = sight({ lines: [{ hz: 5.012e6, db: -60 }] });
    expect([far.is, near.is]).toEqual(['unseen', 'unseen']);
    const limit = (found: typeof far) => (found.is === 'unseen' ? found.limitDb : NaN);
    expect(limit(near)).toBeGreaterThan(limit(far) + 10);
  });

  test('the limit follows the floor there and is what averages of that many sweeps can show', () => {
    const low = sight({ lines: [], floorDb: -120 });
    const high = sight({ lines: [], floorDb: -90 });
    if (low.is !== 'unseen' || high.is !== 'unseen') throw new Error('a line was seen in an empty capture');
    expect(high.limitDb - low.limitDb).toBeCloseTo(30, 6);
    // at the mean noise power 16 averages leave a line of some −3 dB unproven at 95 %, and no more than a few dB over the noise
    expect(low.limitDb).toBeGreaterThan(-125);
    expect(low.limitDb).toBeLessThan(-115);
  });

  test('a tolerance widens where the line may stand', () => {
    const moved: HandCapture = { lines: [{ hz: 5.008e6, db: -80 }] };
    expect(sight(moved).is).toBe('unseen');
    expect(sight(moved, LINE, 5e6, 10e3).is).toBe('seen');
    expect(sight(moved, LINE, 5.008e6).is).toBe('seen');
  });

  test('a hump and a line are not of one kind; a hump not seen is limited over its whole width', () => {
    const hump: WeighedLine = { ...LINE, humpWidthHz: 200e3 };
    expect(sight({ lines: [{ hz: 5e6, db: -80 }] }, hump)).toMatchObject({ is: 'seen', otherShape: true });
    const narrow = sight({ lines: [] });
    const wide = sight({ lines: [] }, hump);
    if (narrow.is !== 'unseen' || wide.is !== 'unseen') throw new Error('a line was seen in an empty capture');
    // 200 kHz hold 200/10.645 noise bandwidths of a 10 kHz filter: 12.7 dB; a place between points 5 kHz apart adds 0.75 dB at most
    const wider = 10 * Math.log10(200 / 10.645);
    expect(wide.limitDb - narrow.limitDb).toBeGreaterThanOrEqual(wider);
    expect(wide.limitDb - narrow.limitDb).toBeLessThanOrEqual(wider + 0.75);
  });

  test('outside the span, and in a unit nobody stated, nothing is seen or limited', () => {
    expect(sight({ lines: [], startHz: 6e6, stopHz: 9e6 })).toMatchObject({ is: 'unusable', outcome: 'not-covered' });
    expect(sight({ lines: [{ hz: 5e6, db: -80 }], unit: 'unknown' })).toMatchObject({
      is: 'unusable',
      outcome: 'not-comparable',
    });
  });
});
