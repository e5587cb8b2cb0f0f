import { describe, expect, it } from 'vitest';
import { lineSetOf, type LineSet } from '../../../src-main/engine/tracking/line-set.ts';
import { matchLines } from '../../../src-main/engine/tracking/match-lines.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { handTriage, type HandLine } from './hand-triage.ts';
import { seededNormal, seededRandom } from './seeded-random.ts';

const SETTINGS = { stableMove: 20e-6 };
const FREE = () => 0.025;

function setOf(lines: readonly HandLine[]): LineSet {
  const triaged = handTriage({ lines, startHz: 0.2e6, stopHz: 20.2e6, points: 4001 });
  return lineSetOf(commonScale([triaged], [triaged]).before[0]!);
}

const match = (a: LineSet, b: LineSet) => matchLines(a, b, FREE, SETTINGS);

function comb(source: string | undefined, fundamentalHz: number, count: number, db: number): HandLine[] {
  return Array.from({ length: count }, (_, k) => ({
    hz: fundamentalHz * (k + 1),
    db: db - 5 * Math.log10(k + 1),
    harmonic: k + 1,
    ...(source === undefined ? {} : { source }),
  }));
}

describe('matchLines', () => {
  it.each([0.98, 0.99, 1.0005, 1.012, 1.02])(
    'follows a family that moved by a factor %d, named or not on the other side',
    (ratio) => {
      const a = setOf(comb('U1', 700e3, 20, -70));
      for (const name of ['U1', undefined]) {
        const { ofA, movesA } = match(a, setOf(comb(name, 700e3 * ratio, 20, -70)));
        expect([...ofA]).toEqual(Array.from({ length: 20 }, (_, k) => k));
        expect(movesA[0]!.ratio).toBeCloseTo(ratio, 4);
      }
      const nameless = comb('U1', 700e3 * ratio, 20, -70).map(({ hz, db }) => ({ hz, db }));
      expect([...match(a, setOf(nameless)).ofA]).toEqual(Array.from({ length: 20 }, (_, k) => k));
    },
  );

  it('follows it when its lines also fell by 12 dB', () => {
    const { ofA } = match(setOf(comb('U1', 700e3, 20, -70)), setOf(comb('U1', 700e3 * 1.015, 20, -82)));
    expect([...ofA]).toEqual(Array.from({ length: 20 }, (_, k) => k));
  });

  it('sees no movement of a lost family onto another whose every fifth line falls on every eighth of it', () => {
    const lost = setOf(comb('U1', 500e3, 32, -70));
    const come = setOf(comb(undefined, (500e3 * 1.01 * 8) / 5, 20, -70));
    const { ofA, movesA, movesB } = match(lost, come);
    // Only what lies on the same place by accident is paired.
    ofA.forEach((j, i) => {
      if (j >= 0) expect(Math.abs(come.frequencyHz[j]! - lost.frequencyHz[i]!)).toBeLessThan(10e3);
    });
    expect([movesA[0], movesB[0]]).toEqual([null, null]);
  });

  it('takes the same source and harmonic before a line that is nearer', () => {
    const before = setOf([...comb('U1', 700e3, 12, -70)]);
    const after = setOf([...comb('U1', 700e3 * 1.004, 12, -70), { hz: 700e3 * 5 + 300, db: -70 }]);
    const { ofA, ofB } = match(before, after);
    const stranger = [...after.frequencyHz].findIndex((hz) => hz === 700e3 * 5 + 300);
    expect(ofB[stranger]).toBe(-1);
    expect([...ofA].every((j) => j >= 0)).toBe(true);
  });

  it('answers the same with the sides exchanged, and whatever the order of lines, on seeded scenes', () => {
    const random = seededRandom(81);
    const normal = seededNormal(random);
    for (let scene = 0; scene < 30; scene++) {
      const ratio = 1 + 0.02 * (random() - 0.5);
      const lone = Array.from({ length: 20 }, () => ({ hz: 0.5e6 + 19e6 * random(), db: -80 + 20 * random() }));
      const wobble = (lines: HandLine[], change: number) =>
        lines
          .filter(() => random() < 0.85)
          .map((line) => ({ ...line, hz: line.hz + 200 * normal(), db: line.db + change }));
      const a = setOf([...comb('U1', 430e3, 40, -65), ...comb('U2', 910e3, 20, -65), ...lone]);
      const b = setOf([
        ...wobble(comb('U1', 430e3 * ratio, 40, -65), -5),
        ...wobble(comb('U2', 910e3, 20, -65), 0),
        ...wobble(lone, 0),
      ]);
      const forth = match(a, b);
      const back = match(b, a);
      expect([...back.ofA], `scene ${scene}`).toEqual([...forth.ofB]);
      expect([...back.ofB], `scene ${scene}`).toEqual([...forth.ofA]);
      forth.ofA.forEach((j, i) => {
        if (j >= 0) expect(forth.ofB[j]).toBe(i);
      });
    }
  });

  it('finds nothing in nothing', () => {
    expect(match(setOf([]), setOf([])).ofA).toHaveLength(0);
    expect([...match(setOf([{ hz: 5e6, db: -70 }]), setOf([])).ofA]).toEqual([-1]);
  });
});
