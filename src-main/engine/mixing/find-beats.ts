import type { FreeLines, Place } from './free-lines.ts';
import { judgePlaces, type Judged } from './judge-places.ts';
import { chanceText, frequencyText, offsetText, times } from './say-mixing.ts';
import type { Found } from './found.ts';
import { isHarmonic, type Subject } from './subjects.ts';

interface BeatPlace extends Place {
  /** The beat is |m·f1 + k·f2|, k negative for a difference. */
  readonly m: number;
  readonly k: number;
}

/** Largest m + k of the nested sets of mixing products; the sets share the right to be found. */
const ORDERS = [2, 3, 4, 6, 8];

/**
 * The pair of combs whose sums and differences |m·f1 ± k·f2| fall on free lines best, against lines at random.
 *
 * Per pair: all products up to an order m + k ≤ 2, 3, 4, 6, 8. The chance is the tail of the hits, over all pairs and all sets tried
 * (union bound), so several orders at one difference count as more; but a product and its multiples (f1 − f2, 2f1 − 2f2) are one trial,
 * since any comb's teeth come in multiples too. A lone beat is one hit: ten free lines in 20 MHz, windows ± 300 Hz, hit the sum or
 * difference of one pair of combs by accident with 0.0006, five sets tried 0.003; so it passes a chance of 0.001 only where hardly
 * another line is free. Products that fall on a harmonic of a claimed comb, or half-way, are neither for nor against.
 *
 * @returns null where no set has a hit
 */
export function findBeats(lines: FreeLines, subjects: readonly Subject[]): Found | null {
  const pairs = (subjects.length * (subjects.length - 1)) / 2;
  if (pairs === 0 || lines.free.length === 0) return null;
  let best: { judged: Judged<BeatPlace>; logChance: number; one: Subject; two: Subject } | null = null;
  for (const [i, one] of subjects.entries())
    for (const two of subjects.slice(i + 1))
      for (const { places, tries } of placeSets(one, two, subjects, lines)) {
        const judged = judgePlaces(lines, places, { family: ratioOf });
        const logChance = judged.logTail + Math.log(pairs * tries);
        if (judged.hits.length > 0 && (best === null || logChance < best.logChance))
          best = { judged, logChance, one, two };
      }
  if (best === null) return null;
  const { judged, one, two } = best;
  const chance = Math.min(1, Math.exp(best.logChance));
  return {
    chance,
    family: (counted) => ({
      kind: 'beat',
      sources: [one.source, two.source],
      spacingHz: null,
      spacingSigmaHz: null,
      band: null,
      spurs: judged.hits.map(({ line }) => line).sort((a, b) => a - b),
      places: judged.places,
      chance: counted,
      why: `${count(judged.hits.length, 'line')} where ${judged.places} sums and differences of ${one.name} and ${two.name} would lie; chance ${chanceText(counted)}.`,
    }),
    lines: judged.hits.map(({ place, line }) => ({
      line,
      explain: (counted) => ({
        cause: 'beat',
        candidates: [
          { source: one.source, harmonic: place.m },
          { source: two.source, harmonic: Math.abs(place.k) },
        ].map((part) => ({ ...part, predictedHz: place.hz, predictedSigmaHz: place.sigmaHz, chance: counted })),
        why: `Lies ${offsetText(lines.frequencyHz[line]! - place.hz)} from ${productText(place, one, two)} = ${frequencyText(place.hz)}, a beat; ${
          judged.hits.length === 1
            ? `lines at random would do as well with chance ${chanceText(counted)}`
            : `${judged.hits.length} lines fit such beats, chance ${chanceText(counted)}`
        }.`,
      }),
    })),
  };
}

function placeSets(one: Subject, two: Subject, all: readonly Subject[], lines: FreeLines) {
  const sets: { places: BeatPlace[]; tries: number }[] = [];
  const add = (places: BeatPlace[], m: number, k: number): void => {
    const hz = Math.abs(m * one.fundamentalHz + k * two.fundamentalHz);
    if (hz < lines.spanLowHz || hz > lines.spanHighHz) return;
    const sigmaHz = Math.hypot(m * one.sigmaHz, k * two.sigmaHz);
    if (!isHarmonic(hz, Math.hypot(sigmaHz, 0.05 * lines.lineWidthHz), all, lines.matchSigma))
      places.push({ hz, sigmaHz, m, k });
  };
  for (const order of ORDERS) {
    const places: BeatPlace[] = [];
    for (let sum = 2; sum <= order; sum++)
      for (let m = 1; m < sum; m++) {
        add(places, m, sum - m);
        add(places, m, m - sum);
      }
    sets.push({ places, tries: ORDERS.length });
  }
  return sets;
}

/** Products in one ratio are multiples of one another: where one falls on a tooth of some comb, so do the others. They are one trial. */
function ratioOf({ m, k }: BeatPlace): string {
  const common = greatestCommonDivisor(m, Math.abs(k));
  return `${m / common}:${k / common}`;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

function productText({ m, k }: BeatPlace, one: Subject, two: Subject): string {
  return `|${times(m)}${one.name} ${k < 0 ? '−' : '+'} ${times(Math.abs(k))}${two.name}|`;
}

function count(number: number, noun: string): string {
  return number === 1 ? `One ${noun} lies` : `${number} ${noun}s lie`;
}
