import type { CalibrationTable } from '../../model/calibration.ts';

type Curve = Pick<CalibrationTable, 'frequencyHz' | 'valueDb' | 'uncertaintyDb'>;

/** A table's value at a frequency, with one standard deviation. */
export interface ValueAt {
  readonly valueDb: number;
  /** null where the table states none. */
  readonly sigmaDb: number | null;
}

/**
 * A table's value at a frequency: decibels linear in the logarithm of frequency between rows, and never beyond them.
 *
 * The uncertainty is interpolated alike; at a row it is the row's own. A table of one row holds at every frequency (an attenuator's
 * nominal value).
 *
 * @returns null outside the table: a factor is not guessed. 47 CFR 18.307 interpolates limits in the same way.
 */
export function tableAt({ frequencyHz, valueDb, uncertaintyDb }: Curve, atHz: number): ValueAt | null {
  const last = frequencyHz.length - 1;
  if (last === 0) return { valueDb: valueDb[0]!, sigmaDb: uncertaintyDb?.[0] ?? null };
  if (!(atHz >= frequencyHz[0]! && atHz <= frequencyHz[last]!)) return null;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (frequencyHz[middle]! <= atHz) low = middle;
    else high = middle;
  }
  const t = Math.log(atHz / frequencyHz[low]!) / Math.log(frequencyHz[high]! / frequencyHz[low]!);
  const between = (values: readonly number[]): number => values[low]! + t * (values[high]! - values[low]!);
  return { valueDb: between(valueDb), sigmaDb: uncertaintyDb === null ? null : between(uncertaintyDb) };
}
