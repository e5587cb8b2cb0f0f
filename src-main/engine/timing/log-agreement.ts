import { studentTail } from '../numeric/student-tail.ts';

/** Entries of a current or mode log: a value that holds from its time to the next. Times ascending, in seconds of the log's own clock. */
export interface LogEntries {
  readonly timeS: Float64Array;
  readonly value: Float64Array;
}

/** How an envelope goes with a log. */
export interface LogAgreement {
  /** Correlation of the envelope in dB with the log's value at the stated offset. */
  readonly correlation: number;
  /** Probability that unrelated series of as many independent steps correlate so strongly; two-sided. */
  readonly chance: number;
  /** Independent steps that the probability counts. */
  readonly independent: number;
  /** Mean power in dB at steps where the log is above its middle minus that where it is below. */
  readonly stepDb: number;
}

/**
 * Does a record's envelope go with a log, at a stated offset of the two clocks?
 *
 * The offset is stated and never searched: a search over offsets finds agreement in anything. The chance is that of Student's t for the
 * correlation, with the number of independent steps reduced by the correlation of each series with itself (Bartlett 1946, from memory):
 * n·(1 − ab)/(1 + ab), a and b the correlations of neighbouring steps.
 *
 * @param offsetS added to the log's times to have them on the record's clock
 * @returns null where fewer than eight steps lie within the log, or one of the two does not change
 */
export function agreementWithLog(
  powerDb: Float64Array,
  startS: number,
  stepS: number,
  log: LogEntries,
  offsetS: number,
): LogAgreement | null {
  const levels: number[] = [];
  const values: number[] = [];
  let entry = -1;
  for (let i = 0; i < powerDb.length; i++) {
    const atS = startS + (i + 0.5) * stepS - offsetS;
    while (entry + 1 < log.timeS.length && log.timeS[entry + 1]! <= atS) entry++;
    if (entry < 0 || atS > log.timeS.at(-1)! || !Number.isFinite(powerDb[i]!)) continue;
    levels.push(powerDb[i]!);
    values.push(log.value[entry]!);
  }
  const n = levels.length;
  if (n < 8) return null;
  const correlation = correlationOf(levels, values);
  if (!Number.isFinite(correlation)) return null;
  const product =
    correlationOf(levels.slice(1), levels.slice(0, -1)) * correlationOf(values.slice(1), values.slice(0, -1));
  const shared = Number.isFinite(product) ? Math.max(0, Math.min(0.99, product)) : 0;
  const independent = Math.max(3, (n * (1 - shared)) / (1 + shared));
  const rest = Math.max(1e-12, 1 - correlation ** 2);
  const t = Math.abs(correlation) * Math.sqrt((independent - 2) / rest);
  const middle = (Math.min(...values) + Math.max(...values)) / 2;
  return {
    correlation,
    chance: studentTail(t, independent - 2),
    independent,
    stepDb:
      meanDb(levels.filter((_, i) => values[i]! > middle)) - meanDb(levels.filter((_, i) => values[i]! <= middle)),
  };
}

function correlationOf(a: readonly number[], b: readonly number[]): number {
  const n = a.length;
  const meanA = a.reduce((x, y) => x + y, 0) / n;
  const meanB = b.reduce((x, y) => x + y, 0) / n;
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    ab += (a[i]! - meanA) * (b[i]! - meanB);
    aa += (a[i]! - meanA) ** 2;
    bb += (b[i]! - meanB) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
}

function meanDb(levels: readonly number[]): number {
  return 10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0) / levels.length);
}
