import type { BelowInput } from './below-input.ts';
import type { Drift } from './drift.ts';
import type { Residual } from './residual.ts';
import { toothAt, type Tooth } from './tooth.ts';

/** Teeth less well known than this, in line widths, are not stacked. A choice of this tool. */
const WIDEST_SIGMA = 1.5;
/** A tooth that may lie anywhere in an eighth of the spacing is no prediction. As in attribution. */
export const WIDEST_TOOTH = 0.125;

/** A comb to be stacked. */
export interface Subject {
  readonly hz: number;
  readonly sigmaHz: number;
  readonly spreadPpm: number;
  readonly drift: Drift | null;
  /** As in Residual.toothOf; 0 for a comb that is not claimed. */
  readonly own: number;
  readonly maxHarmonic: number;
  /** Only harmonics for which this holds; null for all. */
  readonly only: ((harmonic: number) => boolean) | null;
}

/** Its harmonics in the span that can be stacked. */
export function teethOf(input: BelowInput, residual: Residual, subject: Subject): Tooth[] {
  const { frequencyHz } = input;
  const { hz, sigmaHz, drift } = subject;
  const startHz = frequencyHz[0]!;
  const stopHz = frequencyHz[frequencyHz.length - 1]!;
  const out: Tooth[] = [];
  const last = Math.min(subject.maxHarmonic, Math.floor(stopHz / hz));
  for (let n = Math.max(1, Math.ceil(startHz / hz)); n <= last; n++) {
    const at = drift === null ? n * hz : drift.hzOf(n);
    const place = { hz: at, sigmaHz: n * sigmaHz, spreadHz: 1e-6 * subject.spreadPpm * n * hz };
    if (place.sigmaHz > WIDEST_SIGMA * input.lineWidthHz || 3 * place.sigmaHz + place.spreadHz / 2 > WIDEST_TOOTH * hz)
      break;
    if (subject.only !== null && !subject.only(n)) continue;
    const tooth = toothAt(residual, place, subject.own, hz);
    if (tooth !== null) out.push(tooth);
  }
  return out;
}
