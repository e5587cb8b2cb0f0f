export interface PlotRange {
  readonly lowHz: number;
  readonly highHz: number;
  readonly lowDb: number;
  readonly highDb: number;
}

/** From frequency and level to CSS pixels of the plotting area. */
export interface Scales {
  readonly width: number;
  readonly height: number;
  x(frequencyHz: number): number;
  y(levelDb: number): number;
}

export function scalesOf(width: number, height: number, range: PlotRange): Scales {
  const perHz = width / (range.highHz - range.lowHz);
  const perDb = height / (range.highDb - range.lowDb);
  return {
    width,
    height,
    x: (frequencyHz) => (frequencyHz - range.lowHz) * perHz,
    y: (levelDb) => (range.highDb - levelDb) * perDb,
  };
}
