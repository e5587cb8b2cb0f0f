import type { CalibrationTable } from '../../model/calibration.ts';

type Curve = Pick<CalibrationTable, 'frequencyHz' | 'valueDb' | 'uncertaintyDb' | 'axis'>;

/** A table's value at a frequency, with one standard deviation. */
export interface ValueAt {
  readonly valueDb: number;
  /** null where the table states none. */
  readonly sigmaDb: number | null;
}

/**
 * A table's value at a frequency: decibels linear in the logarithm of frequency between rows (of an offset: in the offset itself, which
 * may be 0 or below), and never beyond them.
 *
 * The uncertainty is interpolated alike; at a row it is the row's own. A table of one row holds at every frequency (an attenuator's
 * nominal value).
 *
 * @returns null outside the table: a factor is not guessed. 47 CFR 18.307 interpolates limits in the same way.
 */
export function tableAt({ frequencyHz, valueDb, uncertaintyDb, axis }: Curve, atHz: number): ValueAt | null {
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
  const [lowHz, highHz] = [frequencyHz[low]!, frequencyHz[high]!];
  const t = axis === 'offset' ? (atHz - lowHz) / (highHz - lowHz) : Math.log(atHz / lowHz) / Math.log(highHz / lowHz);
  const between = (values: readonly number[]): number => values[low]! + t * (values[high]! - values[low]!);
  return { valueDb: between(valueDb), sigmaDb: uncertaintyDb === null ? null : between(uncertaintyDb) };
}
