import { frequencyFactor, timeFactor } from '../../units/parse-unit.ts';
import { numberOf, textOf, type HeaderDataUnit } from './header.ts';

/** A linear axis as the keywords state it, in Hz or seconds where they say so. */
export interface ImageAxis {
  readonly kind: 'frequency' | 'time' | 'unknown';
  readonly factor: number | null;
  readonly values: Float64Array;
  /** False where neither a reference value nor a step is stated: it only counts. */
  readonly stated: boolean;
}

/**
 * Axis `n` of an image: CRVALn + (pixel − CRPIXn) · CDELTn, pixels counted from 1; without these keywords 0, 0 and 1 (FITS Standard
 * 4.0, section 8.2). What it is follows from CTYPEn (FREQ, or a word with a unit in brackets) and CUNITn.
 */
export function imageAxis({ cards, shape }: HeaderDataUnit, n: number): ImageAxis {
  return linearAxis(
    {
      type: textOf(cards, `CTYPE${n}`),
      unit: textOf(cards, `CUNIT${n}`),
      value: numberOf(cards, `CRVAL${n}`),
      pixel: numberOf(cards, `CRPIX${n}`),
      step: numberOf(cards, `CDELT${n}`),
    },
    shape[n - 1]!,
  );
}

/** The axis along the numbers of one column's cells: 1CRVLn, 1CRPXn, 1CDLTn, 1CTYPn, 1CUNIn (section 8, table 22). */
export function cellAxis({ cards }: HeaderDataUnit, n: number, length: number): ImageAxis {
  return linearAxis(
    {
      type: textOf(cards, `1CTYP${n}`),
      unit: textOf(cards, `1CUNI${n}`),
      value: numberOf(cards, `1CRVL${n}`),
      pixel: numberOf(cards, `1CRPX${n}`),
      step: numberOf(cards, `1CDLT${n}`),
    },
    length,
  );
}

interface Stated {
  readonly type: string | null;
  readonly unit: string | null;
  readonly value: number | null;
  readonly pixel: number | null;
  readonly step: number | null;
}

function linearAxis({ type, unit, value, pixel, step }: Stated, length: number): ImageAxis {
  const named = type ?? '';
  const unitText = unit ?? /[[(]([^\])]+)[\])]/.exec(named)?.[1] ?? '';
  const hz = frequencyFactor(unitText);
  const seconds = timeFactor(unitText);
  const kind =
    hz !== null || /^freq/i.test(named)
      ? 'frequency'
      : seconds !== null || /^(?:time|utc?|tai|mjd)\b/i.test(named)
        ? 'time'
        : 'unknown';
  const factor = kind === 'frequency' ? (hz ?? (unitText === '' ? 1 : null)) : kind === 'time' ? (seconds ?? 1) : null;
  const values = Float64Array.from({ length }, (_, i) =>
    Number(((value ?? 0) + (i + 1 - (pixel ?? 0)) * (step ?? 1)).toPrecision(15)),
  );
  return { kind, factor, values, stated: value !== null && step !== null && step !== 0 };
}
