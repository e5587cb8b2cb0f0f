import { expect, test } from 'vitest';
import { scoreGuess } from '../../src-main/engine/score-guess.ts';
import { seededRandom } from '../../src-main/engine/numeric/random.ts';
import type { Spur } from '../../src-main/model/spur.ts';

const line = (frequencyHz: number, frequencySigmaHz = 100): Spur => ({
  frequencyHz,
  frequencySigmaHz,
  levelDb: -80,
  levelSigmaDb: 1,
  floorDb: -100,
  overFloorDb: 20,
  widthHz: 1e3,
  shape: 'line',
  peakIndex: 0,
  firstIndex: 0,
  lastIndex: 0,
  crowded: false,
});
const span = { startHz: 100, stopHz: 3000, spacingHz: 1 };

test('the fit is the published one: 500.1, 1000.0, 1499.9, 2500.2 with n = 1, 2, 3, 5 give 500.020513', () => {
  const spurs = [500.1, 1000, 1499.9, 2500.2].map((hz) => line(hz, 1));
  const score = scoreGuess({ spurs, ...span, fundamentalHz: 500 });
  expect(score.harmonicsSeen).toEqual([1, 2, 3, 5]);
  expect(score.expected).toBe(6);
  // check-values §7.2, computed
  expect(score.fittedHz).toBeCloseTo(500.020513, 6);
  expect(score.fittedSigmaHz).toBeCloseTo(1 / Math.sqrt(1 + 4 + 9 + 25), 12);
});

test('σ of the fundamental from harmonics 1 … 10 of 100 Hz each is 5.0965 Hz (check-values §7.2)', () => {
  const spurs = Array.from({ length: 10 }, (_, i) => line((i + 1) * 1e5));
  const score = scoreGuess({ spurs, startHz: 0, stopHz: 1.05e6, spacingHz: 1, fundamentalHz: 1e5 });
  expect(score.fittedSigmaHz).toBeCloseTo(5.0965, 4);
});

test('no line, no fit, and a chance of one', () => {
  expect(scoreGuess({ spurs: [], ...span, fundamentalHz: 500 })).toMatchObject({
    harmonicsSeen: [],
    chance: 1,
    fittedHz: null,
    fittedSigmaHz: null,
  });
  expect(scoreGuess({ spurs: [line(500)], ...span, fundamentalHz: 5000 })).toMatchObject({ expected: 0, chance: 1 });
});

test('over lines at random the chance is what it says: it undercuts p about as often as p', () => {
  const random = seededRandom(11);
  const trials = 4000;
  let [below10, below1] = [0, 0];
  for (let i = 0; i < trials; i++) {
    const spurs = Array.from({ length: 150 }, () => line(1e6 + random() * 20e6, 500)).sort(
      (a, b) => a.frequencyHz - b.frequencyHz,
    );
    const { chance } = scoreGuess({
      spurs,
      startHz: 1e6,
      stopHz: 21e6,
      spacingHz: 2e3,
      fundamentalHz: 2e5 + random() * 5e5,
    });
    if (chance <= 0.1) below10++;
    if (chance <= 0.01) below1++;
  }
  // a p-value of a count is never undershot more often than it says; 4 standard deviations of room
  expect(below10 / trials).toBeLessThan(0.1 + 4 * Math.sqrt((0.1 * 0.9) / trials));
  expect(below1 / trials).toBeLessThan(0.01 + 4 * Math.sqrt((0.01 * 0.99) / trials));
  expect(below10 / trials).toBeGreaterThan(0.03);
});

test('the reach never lets everything be seen: at most a quarter of the fundamental', () => {
  const { reachHz } = scoreGuess({
    spurs: [line(1e6, 1e6)],
    startHz: 0,
    stopHz: 2e6,
    spacingHz: 1e6,
    fundamentalHz: 1e5,
  });
  expect(reachHz).toBe(25e3);
});
