import { describe, expect, it } from 'vitest';
import { bandPower } from '../../../src-main/engine/tracking/band-power.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { handTriage, type HandCapture } from './hand-triage.ts';
import { seededNormal, seededRandom } from './seeded-random.ts';

function traceOf(capture: HandCapture) {
  const triaged = handTriage(capture);
  return commonScale([triaged], [triaged]).before[0]!;
}

const db = (value: number) => 10 * Math.log10(value);

describe('bandPower', () => {
  it.each([3e3, 10e3, 30e3])(
    'gives the power of a line itself when summed over its filter shape (RBW %d Hz)',
    (rbwHz) => {
      const points = Math.round(10e6 / (rbwHz / 2)) + 1;
      const trace = traceOf({ lines: [{ hz: 5e6, db: -60 }], rbwHz, points });
      expect(db(bandPower(trace, 5e6 - 4 * rbwHz, 5e6 + 4 * rbwHz, null).power)).toBeCloseTo(-60, 1);
    },
  );

  // Subtracting the floor: measured over floor 3, 6, 10 dB → correction −3.021, −1.256, −0.458 dB (published conversion table,
  // computed). With S added to a floor N the reading is S + N; the sum must come back to S.
  it.each([
    [3, -3.021],
    [6, -1.256],
    [10, -0.458],
  ])('takes the floor off as the table of corrections says: %d dB over it, %d dB', (measuredDb, correctionDb) => {
    const hump = -100 + db(10 ** (measuredDb / 10) - 1);
    const trace = traceOf({ lines: [{ hz: 5e6, db: hump, humpPoints: 100 }], points: 2001, rbwHz: 10e3 });
    const width = 50 * 5e3;
    const { power } = bandPower(trace, 5e6 - width / 2, 5e6 + width / 2, null);
    const inBandwidths = (51 * 5e3) / ((10e3 * Math.sqrt(Math.PI / Math.LN2)) / 2);
    expect(db(power / inBandwidths) - (-100 + measuredDb)).toBeCloseTo(correctionDb, 2);
  });

  it('is nothing within its own standard deviation over noise alone, two times out of three', () => {
    const normal = seededNormal(seededRandom(61));
    let inside = 0;
    for (let trial = 0; trial < 300; trial++) {
      const averages = 16;
      const trace = traceOf({
        lines: [],
        points: 401,
        rbwHz: 25e3,
        averages,
        noiseDb: () => {
          let sum = 0;
          for (let k = 0; k < 2 * averages; k++) sum += normal() ** 2;
          return db(sum / (2 * averages));
        },
      });
      const { power, sigma } = bandPower(trace, 4e6, 6e6, null);
      if (Math.abs(power) < sigma) inside++;
    }
    expect(inside / 300).toBeGreaterThan(0.6);
    expect(inside / 300).toBeLessThan(0.85);
  });

  it('leaves out blank points and, where asked, other spurs, and says how much is missing', () => {
    const trace = traceOf({
      lines: [
        { hz: 5e6, db: -60 },
        { hz: 5.2e6, db: -55 },
      ],
    });
    const own = bandPower(trace, 4.9e6, 5.3e6, 0);
    expect(db(own.power)).toBeCloseTo(-60, 0);
    expect(own.blankShare).toBeGreaterThan(0.05);
    expect(db(bandPower(trace, 4.9e6, 5.3e6, null).power)).toBeCloseTo(10 * Math.log10(1e-6 + 10 ** -5.5), 0);
  });
});
