import type { LevelUnit } from './level-unit.ts';
import type { PointKind } from './measuring-point.ts';

/** Whether a capture's levels may be held against a limit. */
export type LevelMeaning =
  | { readonly meaning: 'absolute'; readonly why: string }
  /** Good for ranking sources and for before and after, never for passing or failing a limit. */
  | { readonly meaning: 'relative'; readonly why: string };

/** Points whose reading depends on how a probe or antenna couples. */
const COUPLED: readonly PointKind[] = ['near-field-probe', 'current-probe', 'antenna', 'other'];
/** Decibels over something the file does not fix: no absolute level. */
const RATIOS = ['unknown', 'dB', 'dBc', 'dBFS'];

/**
 * What a capture's levels mean.
 *
 * @param pointKind of its measuring point; null: nobody said where it was taken
 * @param unit that the levels are in, chain and transfer applied
 * @param isFactored a transducer or probe table of its chain has been applied
 * @param transferVersion of the point's transfer to the receiver's input that has been applied; null: none
 */
export function levelMeaning(of: {
  readonly pointKind: PointKind | null;
  readonly unit: LevelUnit;
  readonly isFactored: boolean;
  readonly transferVersion: number | null;
}): LevelMeaning {
  const { pointKind, unit, isFactored, transferVersion } = of;
  if (RATIOS.includes(unit.name.replace(/\/√?Hz$/, '')))
    return {
      meaning: 'relative',
      why: `Levels are in ${unit.name}, which is no absolute unit: they rank, they pass no limit.`,
    };
  if (transferVersion !== null)
    return {
      meaning: 'absolute',
      why: `Levels at the receiver’s input by version ${transferVersion} of the point’s transfer.`,
    };
  if (pointKind !== null && COUPLED.includes(pointKind)) {
    if (isFactored && pointKind !== 'near-field-probe' && pointKind !== 'other')
      return { meaning: 'absolute', why: 'The transducer’s own table has been applied.' };
    return {
      meaning: 'relative',
      why: 'A reading through a probe without a transfer to the receiver’s input ranks sources; it passes or fails no limit.',
    };
  }
  return {
    meaning: 'absolute',
    why:
      pointKind === null ? 'The measuring point is not stated; levels are taken as they stand.' : 'Measured at a port.',
  };
}
