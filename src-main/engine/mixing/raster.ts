import { logBinomialTail } from '../numeric/binomial-tail.ts';
import { lowerBound } from '../numeric/lower-bound.ts';
import type { FreeLines } from './free-lines.ts';

/** A line of a family and the strong line that it stands beside. */
export interface Member {
  readonly carrier: number;
  readonly line: number;
  /** How many spacings it stands off: −2, −1, 1, 2. */
  readonly side: number;
}

/** Lines within this many spacings of a carrier are asked whether they stand on a raster. */
const NEARBY = 12;
/** Rasters of the spacing over 1 … 6 are tried. */
const FINEST = 6;
/** So many of them on the raster by chance, or fewer: then it is one. A choice of this tool. */
const RASTER_CHANCE = 0.02;

/** The spacing that all members tell together, each weighted by its error. */
export function meanSpacing(lines: FreeLines, members: readonly Member[]): { hz: number; sigmaHz: number } {
  let weight = 0;
  let sum = 0;
  for (const { carrier, line, side } of members) {
    const w = (side * side) / (lines.sigmaHz[line]! ** 2 + lines.sigmaHz[carrier]! ** 2);
    weight += w;
    sum += (w * (lines.frequencyHz[line]! - lines.frequencyHz[carrier]!)) / side;
  }
  return { hz: sum / weight, sigmaHz: 1 / Math.sqrt(weight) };
}

/**
 * Do the free lines around stand on a raster of the spacing, or of a simple part of it? Stations on their channels do, and what is left of a
 * comb, and make pairs about anything that stands on the raster too: such pairs are no sidebands.
 */
export function isRaster(lines: FreeLines, members: readonly Member[]): boolean {
  const own = new Set(members.map(({ line }) => line));
  const spacing = meanSpacing(lines, members);
  const offsets: { offsetHz: number; sigmaHz: number }[] = [];
  const seen = new Set<number>();
  for (const carrier of new Set(members.map((member) => member.carrier))) {
    const at = lines.frequencyHz[carrier]!;
    for (const line of lines.between(at - NEARBY * spacing.hz, at + NEARBY * spacing.hz)) {
      if (own.has(line) || line === carrier || seen.has(line)) continue;
      seen.add(line);
      if (isSideOfAny(lines, line, spacing)) continue;
      const offsetHz = Math.abs(lines.frequencyHz[line]! - at);
      offsets.push({ offsetHz, sigmaHz: Math.hypot(lines.sigmaHz[line]!, lines.sigmaHz[carrier]!) });
    }
  }
  for (let part = 1; part <= FINEST; part++) {
    const rasterHz = spacing.hz / part;
    let on = 0;
    let byChance = 0;
    for (const { offsetHz, sigmaHz } of offsets) {
      const turns = offsetHz / rasterHz;
      const window = lines.matchSigma * Math.hypot(sigmaHz, (turns * spacing.sigmaHz) / part);
      // second-order sidebands stand at twice the spacing: they speak for the family
      if (part === 1 && Math.abs(turns - 2) * rasterHz <= window) continue;
      if (Math.abs(turns - Math.round(turns)) * rasterHz <= window) on++;
      byChance += Math.min(1, (2 * window) / rasterHz);
    }
    if (on >= 2 && logBinomialTail(on, offsets.length, byChance / offsets.length) < Math.log(RASTER_CHANCE / FINEST))
      return true;
  }
  return false;
}

/** Stands at the spacing from a stronger line that something explains: it speaks for the family. */
function isSideOfAny(lines: FreeLines, line: number, spacing: { hz: number; sigmaHz: number }): boolean {
  return [1, -1].some((side) => {
    const hz = lines.frequencyHz[line]! + side * spacing.hz;
    for (let i = Math.max(0, lowerBound(lines.frequencyHz, hz) - 1); i < lines.frequencyHz.length; i++) {
      const window = lines.matchSigma * Math.hypot(spacing.sigmaHz, lines.sigmaHz[line]!, lines.sigmaHz[i]!);
      if (lines.frequencyHz[i]! > hz + window) return false;
      if (lines.frequencyHz[i]! >= hz - window && !lines.isFree(i) && lines.levelDb[i]! > lines.levelDb[line]!)
        return true;
    }
    return false;
  });
}
