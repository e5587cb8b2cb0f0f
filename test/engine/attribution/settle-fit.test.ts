import { describe, expect, test } from 'vitest';
import { fitComb, type CombFit } from '../../../src-main/engine/attribution/comb-fit.ts';
import { supportComb } from '../../../src-main/engine/attribution/comb-support.ts';
import type { LineTable } from '../../../src-main/engine/attribution/line-table.ts';
import { contextOf, type AcceptedComb, type SelectionInput } from '../../../src-main/engine/attribution/selection.ts';
import { settleFits } from '../../../src-main/engine/attribution/settle-fit.ts';
import { seeded } from './scene.ts';

const TRUE_HZ = 160_488;
const SPAN_HZ = [50e3, 29e6] as const;
const SCOPE = { lowHz: 100e3, highHz: 250e3, maxHarmonic: Infinity, entries: 1, mayDrift: true };

interface Line {
  readonly harmonic: number;
  readonly sigmaHz: number;
  /** Beside its tooth by so much; left out: by an error of its own sigma. */
  readonly offHz?: number;
}

/** A comb of sharp lines up to 70, of poor ones here and there up to 170. */
function teeth(): Line[] {
  const sharp = Array.from({ length: 70 }, (_, i) => ({ harmonic: i + 1, sigmaHz: 95 }));
  const poor = Array.from({ length: 34 }, (_, i) => ({ harmonic: 72 + 3 * i, sigmaHz: 350 }));
  return [...sharp, ...poor];
}

/** Two strong lines of nobody beside high teeth: their lever outweighs the seventy true ones. */
const WRONG: readonly Line[] = [
  { harmonic: 157, sigmaHz: 90, offHz: 1450 },
  { harmonic: 163, sigmaHz: 90, offHz: 1510 },
];

function scene(seed: number, lines: readonly Line[]): SelectionInput {
  const { normal } = seeded(seed);
  const sorted = [...lines].sort((a, b) => a.harmonic - b.harmonic);
  const column = (of: (line: Line) => number): Float64Array => Float64Array.from(sorted, of);
  const frequencyHz = column(({ harmonic, sigmaHz, offHz }) => harmonic * TRUE_HZ + (offHz ?? sigmaHz * normal()));
  const table: LineTable = {
    count: sorted.length,
    frequencyHz,
    sigmaHz: column(({ sigmaHz }) => sigmaHz),
    fromHz: frequencyHz.map((hz) => hz - 3e3),
    toHz: frequencyHz.map((hz) => hz + 3e3),
    overFloorDb: column(() => 20),
    levelDb: column(() => -80),
    resolutionHz: 3e3,
  };
  const [spanLowHz, spanHighHz] = SPAN_HZ;
  return { lines: table, matchSigma: 3, claimChance: 1e-3, spanLowHz, spanHighHz, explained: new WeakMap() };
}

/** What a plain fit to every match makes of it. */
function bent(input: SelectionInput, lines: readonly Line[]): AcceptedComb {
  const harmonics = [...lines].map(({ harmonic }) => harmonic).sort((a, b) => a - b);
  const fit = fitComb(
    input.lines,
    harmonics,
    harmonics.map((_, i) => i),
    false,
    15e6,
    29e6,
  );
  const context = contextOf(input, new Uint8Array(input.lines.count).fill(1));
  return { comb: { ...supportComb(context, SCOPE, fit.fundamentalHz, fit.sigmaHz), fit }, scope: SCOPE, found: null };
}

const pull = ({ fundamentalHz, sigmaHz }: CombFit): number => Math.abs(fundamentalHz - TRUE_HZ) / sigmaHz;

describe('settleFits(input, combs)', () => {
  test('two strong lines of nobody beside high teeth do not bend the fit, as they bend least squares', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const lines = [...teeth(), ...WRONG];
      const input = scene(seed, lines);
      const before = bent(input, lines);
      expect(Math.abs(before.comb.fit.fundamentalHz - TRUE_HZ), `seed ${seed}`).toBeGreaterThan(2);
      const [after] = settleFits(input, [before]);
      expect(pull(after!.comb.fit), `seed ${seed}`).toBeLessThan(3);
      expect(after!.comb.fit.slope).toBe(0);
    }
  });

  test('without wrong lines it is the least-squares fit, and its error is as it states: two thirds within one sigma', () => {
    let inside = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const lines = teeth();
      const input = scene(seed, lines);
      const plain = bent(input, lines);
      const [after] = settleFits(input, [plain]);
      // every error is Gaussian, so hardly a tooth is doubted
      expect(Math.abs(after!.comb.fit.fundamentalHz - plain.comb.fit.fundamentalHz)).toBeLessThan(
        plain.comb.fit.sigmaHz,
      );
      if (pull(after!.comb.fit) < 1) inside++;
    }
    // 68 % and three standard deviations of 200 tries; a fit that widens with its residuals may state a little more
    expect(inside / 200).toBeGreaterThan(0.58);
    expect(inside / 200).toBeLessThan(0.82);
  });

  test('finds the same fundamental as trying every one on a fine grid', () => {
    const lines = [...teeth(), ...WRONG];
    const input = scene(31, lines);
    const [after] = settleFits(input, [bent(input, lines)]);
    const { frequencyHz, sigmaHz, count } = input.lines;
    let bestHz = NaN;
    let best = -Infinity;
    for (let hz = TRUE_HZ - 20; hz <= TRUE_HZ + 20; hz += 0.02) {
      let sum = 0;
      for (let i = 0; i < count; i++) {
        const z = (frequencyHz[i]! - Math.round(frequencyHz[i]! / TRUE_HZ) * hz) / sigmaHz[i]!;
        // a tooth or, one time in twenty, anything within 9 kHz
        sum += Math.log((0.95 * Math.exp((-z * z) / 2)) / (Math.sqrt(2 * Math.PI) * sigmaHz[i]!) + 0.05 / 9e3);
      }
      if (sum > best) [best, bestHz] = [sum, hz];
    }
    expect(Math.abs(after!.comb.fit.fundamentalHz - bestHz)).toBeLessThan(after!.comb.fit.sigmaHz / 2);
  });

  test('keeps a drift within the sweep that many teeth show', () => {
    const slope = 100e-6;
    const lines = teeth().map((line) => {
      const plain = line.harmonic * TRUE_HZ;
      return { ...line, offHz: (plain * slope * (plain - 14.525e6)) / 28.95e6 };
    });
    const input = scene(1, lines);
    const [after] = settleFits(input, [bent(input, lines)]);
    expect(after!.comb.fit.slope).toBeCloseTo(slope, 5);
  });

  test('a comb of four lines, and an empty list, stay as they are', () => {
    const lines = teeth().slice(0, 4);
    const input = scene(5, lines);
    const accepted = bent(input, lines);
    expect(settleFits(input, [accepted])).toEqual([accepted]);
    expect(settleFits(input, [])).toEqual([]);
  });
});
