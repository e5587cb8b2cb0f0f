export interface PlotRange {
  readonly lowHz: number;
  readonly highHz: number;
  readonly lowDb: number;
  readonly highDb: number;
  /** Frequency by its logarithm; left out: as it is. */
  readonly isLog?: boolean;
}

/** From frequency and level to CSS pixels of the plotting area, and back. */
export interface Scales {
  readonly width: number;
  readonly height: number;
  x(frequencyHz: number): number;
  y(levelDb: number): number;
  hz(x: number): number;
}

/** A logarithmic axis begins at the latest this share under its end: zero has no logarithm. */
const SMALLEST_SHARE = 1e-5;
const LEAST_HZ = 1e-9;

/** The place of a frequency on an axis, before it is stretched to pixels: the frequency, or its decimal logarithm. */
export function axisPlace({ isLog = false }: Pick<PlotRange, 'isLog'>): (hz: number) => number {
  if (!isLog) return (hz) => hz;
  // zero and below: far outside, but finite
  return (hz) => Math.log10(Math.max(hz, LEAST_HZ));
}

/** Both ends of an axis as places on it. */
export function axisEnds(range: PlotRange): readonly [number, number] {
  const place = axisPlace(range);
  return [
    place(range.isLog === true ? Math.max(range.lowHz, range.highHz * SMALLEST_SHARE) : range.lowHz),
    place(range.highHz),
  ];
}

export function scalesOf(width: number, height: number, range: PlotRange): Scales {
  const place = axisPlace(range);
  const [low, high] = axisEnds(range);
  const perPlace = width / (high - low);
  const perDb = height / (range.highDb - range.lowDb);
  return {
    width,
    height,
    x: (frequencyHz) => (place(frequencyHz) - low) * perPlace,
    y: (levelDb) => (range.highDb - levelDb) * perDb,
    hz: (x) => (range.isLog === true ? 10 ** (low + x / perPlace) : low + x / perPlace),
  };
}
