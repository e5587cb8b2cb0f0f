import { filterResponse } from './line-shape.ts';

/** Further apart than this many bandwidths a line between two points is mostly not seen at all: the loss of those that are does not grow on. A choice of this tool. */
const MOST_BANDWIDTHS = 2;
const PLACES = 64;

/**
 * What the highest point of a line loses against the line where points lie further apart than the resolution bandwidth: mean and standard
 * deviation in dB, for a Gaussian filter and a line that is as likely anywhere between two points (offsets even over ± half the spacing).
 *
 * For a Gaussian the loss is 12.04·x² dB at an offset of x bandwidths, so the mean is 1.003·s² and the deviation 0.897·s² at a spacing of s.
 */
export function lossBetweenPoints(spacingHz: number, rbwHz: number): { meanDb: number; sigmaDb: number } {
  const spacing = Math.min(spacingHz / rbwHz, MOST_BANDWIDTHS);
  let sum = 0;
  let square = 0;
  for (let i = 0; i < PLACES; i++) {
    const loss = -10 * Math.log10(filterResponse(((i + 0.5) / PLACES - 0.5) * spacing, 1, 'gaussian'));
    sum += loss / PLACES;
    square += loss ** 2 / PLACES;
  }
  return { meanDb: sum, sigmaDb: Math.sqrt(square - sum ** 2) };
}
