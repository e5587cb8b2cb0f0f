/** A level or an excess with its bounds at the confidence that decides, in dB. */
export interface LevelSpan {
  readonly low: number;
  readonly best: number;
  readonly high: number;
}

export function spanOf(best: number, halfWidth: number): LevelSpan {
  return { low: best - halfWidth, best, high: best + halfWidth };
}
