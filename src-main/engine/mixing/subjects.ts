import type { Comb } from '../../model/comb.ts';
import { frequencyText } from './say-mixing.ts';

/** A comb that is there, as something that can mix. */
export interface Subject {
  /** null for a comb without a single owner. */
  readonly source: string | null;
  /** How a sentence names it. */
  readonly name: string;
  readonly fundamentalHz: number;
  readonly sigmaHz: number;
}

export function subjectsOf(combs: readonly Comb[]): Subject[] {
  return combs.map(({ source, couldAlsoBe, fundamentalHz, fundamentalSigmaHz }) => ({
    source,
    name:
      source ??
      (couldAlsoBe.length > 0 ? couldAlsoBe.join(' or ') : `the unregistered comb of ${frequencyText(fundamentalHz)}`),
    fundamentalHz,
    sigmaHz: fundamentalSigmaHz,
  }));
}

/**
 * Whether a place is a harmonic of one of the combs, or stands half-way between two (converters have lines there): its own line is
 * expected, and nothing else can be told.
 *
 * @param parts 2 for halves; more for thirds and so on as well
 */
export function isHarmonic(
  hz: number,
  sigmaHz: number,
  subjects: readonly Subject[],
  matchSigma: number,
  parts = 2,
): boolean {
  return subjects.some((subject) => {
    for (let q = parts; q > parts / 2; q--) {
      const n = Math.round((q * hz) / subject.fundamentalHz) / q;
      if (n > 0 && Math.abs(hz - n * subject.fundamentalHz) <= matchSigma * Math.hypot(sigmaHz, n * subject.sigmaHz))
        return true;
    }
    return false;
  });
}
