/**
 * What a stage between the measuring point and the analyser's input does to a level, and so how it is undone:
 *
 * - `transducer`: its factor is added (an antenna factor in dB/m turns dBµV into dBµV/m);
 * - `probe`: its output per input is taken away (a current probe's transfer impedance in dBΩ turns dBµV into dBµA);
 * - `gain`: taken away; `loss` and `attenuation`: added;
 * - `channel`: the response of the payload's own receiver, its gain in the channel that was recorded: taken away.
 *
 * So E = V + AF + loss − gain.
 */
export type StageKind = 'transducer' | 'probe' | 'gain' | 'loss' | 'attenuation' | 'channel';

/**
 * One stage's table against frequency.
 *
 * Invariants: arrays of one length ≥ 1, frequencies above 0 (offsets: any) and strictly ascending, values finite; `uncertaintyDb`
 * finite, ≥ 0, one a frequency, as one standard deviation.
 */
export interface CalibrationTable {
  readonly id: number;
  readonly name: string;
  readonly kind: StageKind;
  readonly frequencyHz: readonly number[];
  readonly valueDb: readonly number[];
  /** null: nobody stated one. */
  readonly uncertaintyDb: readonly number[] | null;
  /** `offset`: `frequencyHz` counts from the frequency the receiver was tuned to (kind `channel` only). Left out: absolute. */
  readonly axis?: 'offset';
  /** The receiver's gain state that a channel's response holds for, in the team's words; left out or null: for all. */
  readonly gainState?: string | null;
  /** For a transducer or probe the decibel unit it is fed by and the one that follows: dBµV → dBµV/m; null for all others. */
  readonly units: { readonly from: string; readonly to: string } | null;
  /** Where the numbers are from: certificate, data sheet, own measurement. */
  readonly source: string;
  /** Day of the calibration or measurement, ISO 8601 (2026-01-31). */
  readonly date: string;
  /** Day until which it holds; null: nobody said. */
  readonly dueOn: string | null;
}

/** Tables in the order in which they are undone, from the analyser's input outwards. */
export interface CalibrationChain {
  readonly id: number;
  readonly name: string;
  readonly tableIds: readonly number[];
  readonly notes: string;
}

/**
 * How a level at a measuring point becomes one at the receiver's input: a chain of its own, numbered anew with every change, so that a
 * result can say which one it rests on.
 */
export interface PointTransfer {
  readonly id: number;
  readonly pointId: number;
  /** 1, 2 … for each point. */
  readonly version: number;
  /** What is added to a level at the point, against frequency. */
  readonly frequencyHz: readonly number[];
  readonly valueDb: readonly number[];
  readonly uncertaintyDb: readonly number[] | null;
  /** Decibel units before and after. */
  readonly units: { readonly from: string; readonly to: string };
  readonly source: string;
  readonly date: string;
  readonly by: string;
}

/** What is wrong with a table's numbers, or null. */
export function tableProblem({
  frequencyHz,
  valueDb,
  uncertaintyDb,
  axis,
}: Pick<CalibrationTable, 'frequencyHz' | 'valueDb' | 'uncertaintyDb' | 'axis'>): string | null {
  if (frequencyHz.length === 0) return 'no row';
  if (valueDb.length !== frequencyHz.length) return `${valueDb.length} values for ${frequencyHz.length} frequencies`;
  if (uncertaintyDb !== null && uncertaintyDb.length !== frequencyHz.length)
    return `${uncertaintyDb.length} uncertainties for ${frequencyHz.length} frequencies`;
  for (const [i, hz] of frequencyHz.entries()) {
    if (!(hz > 0 || axis === 'offset') || !Number.isFinite(hz)) return `a frequency of ${hz} Hz in row ${i + 1}`;
    if (i > 0 && !(hz > frequencyHz[i - 1]!)) return `${hz} Hz after ${frequencyHz[i - 1]!} Hz in row ${i + 1}`;
    if (!Number.isFinite(valueDb[i])) return `no number for the value in row ${i + 1}`;
    const sigma = uncertaintyDb?.[i] ?? 0;
    if (!(sigma >= 0) || !Number.isFinite(sigma)) return `an uncertainty of ${sigma} dB in row ${i + 1}`;
  }
  return null;
}
