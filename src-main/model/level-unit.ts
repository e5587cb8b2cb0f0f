/** How a level column is to be read. */
export type LevelScale = 'decibel' | 'power' | 'amplitude';

/**
 * The unit of a level column.
 *
 * `name` is printed to the user and is `unknown` where the file does not say; an unknown unit forbids absolute comparison.
 * `scale` tells how a value becomes a power in decibels: a decibel value is one already, a power takes 10·log10,
 * an amplitude 20·log10. `perHz` marks a density (…/Hz or …/√Hz): the level of a line then depends on the bandwidth.
 */
export interface LevelUnit {
  readonly name: string;
  readonly scale: LevelScale;
  readonly perHz: boolean;
}

export const UNKNOWN_DECIBEL_UNIT: LevelUnit = { name: 'unknown', scale: 'decibel', perHz: false };
