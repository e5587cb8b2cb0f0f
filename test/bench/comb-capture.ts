import { closeSync, openSync, writeSync } from 'node:fs';
import { seededRandom } from '../../src-main/engine/numeric/random.ts';

const STEP_HZ = 100;
const START_HZ = 1e6;
const AVERAGES = 16;
const LINE_EVERY = 1000;

/** Writes a capture of so many points, 100 Hz apart, with a line one bin wide in every thousandth of them; seeded. */
export function writeComb(path: string, points: number): void {
  const random = seededRandom(1);
  const file = openSync(path, 'w');
  writeSync(file, 'RBW,100 Hz\nAverages,16\nAveraging,power\nFrequency (Hz),Level (dBm)\n');
  let rows: string[] = [];
  for (let i = 0; i < points; i++) {
    // the mean of chi-square powers: minus the logarithm of a product of uniform numbers
    let product = 1;
    for (let look = 0; look < AVERAGES; look++) product *= 1 - random();
    let power = -Math.log(product) / AVERAGES;
    if (i % LINE_EVERY === LINE_EVERY / 2) power += 10 ** (1.5 + 3 * random());
    rows.push(`${START_HZ + i * STEP_HZ},${(10 * Math.log10(power) - 100).toFixed(2)}\n`);
    if (rows.length < 100_000 && i < points - 1) continue;
    writeSync(file, rows.join(''));
    rows = [];
  }
  closeSync(file);
}
