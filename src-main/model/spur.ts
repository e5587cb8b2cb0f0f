/** One line or hump found over the floor. Levels in decibels of the trace's unit. */
export interface Spur {
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number;
  /** Power of the line itself, the noise under it taken off. */
  readonly levelDb: number;
  readonly levelSigmaDb: number;
  /** Local mean noise power in the same bandwidth. */
  readonly floorDb: number;
  /** Peak over `floorDb`. */
  readonly overFloorDb: number;
  /** Width at half power as measured, in Hz (for an unresolved line about the RBW). */
  readonly widthHz: number;
  readonly shape: 'line' | 'hump';
  /** Indices into the trace: the peak, and the first and last point that belong to the spur. */
  readonly peakIndex: number;
  readonly firstIndex: number;
  readonly lastIndex: number;
  /** True where a neighbour's skirt or a second peak inside it makes frequency or level less certain. */
  readonly crowded: boolean;
}
