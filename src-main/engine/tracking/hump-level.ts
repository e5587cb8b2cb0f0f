import { bandPower } from './band-power.ts';
import type { Level } from './judge-track.ts';
import type { Side } from './side.ts';

/** Largest share of a hump's width that may be blank or hold other lines; a choice of this tool. */
const LARGEST_GAP = 0.2;
/** Doubt of a hump known by its height only; a choice of this tool: its power may be twice or half of what the height suggests. */
const HEIGHT_DOUBT_DB = 3;

/**
 * Integrated power over the floor of a spur, averaged over the files of its side that hold the stretch, in dB of the common unit.
 *
 * With a partner on another side the width is that of the wider of the two, each about its own centre, so that both sides are
 * integrated over the same width. A sum that is not positive (nothing but noise) is taken as one standard deviation.
 */
export function humpLevel(side: Side, line: number, partner: { side: Side; line: number } | null): Level {
  const spur = side.spurs[line]!;
  let halfWidth = halfWidthOf(side, line);
  if (partner !== null) halfWidth = Math.max(halfWidth, halfWidthOf(partner.side, partner.line));
  let power = 0;
  let variance = 0;
  let files = 0;
  for (const [file, trace] of side.traces.entries()) {
    const own = side.spurInFile[line * side.traces.length + file]!;
    const inBand = bandPower(trace, spur.frequencyHz - halfWidth, spur.frequencyHz + halfWidth, own);
    if (inBand.blankShare > LARGEST_GAP) continue;
    power += inBand.power;
    variance += inBand.sigma ** 2;
    files++;
  }
  if (files === 0) return { levelDb: spur.levelDb, sigmaDb: Math.hypot(spur.levelSigmaDb, HEIGHT_DOUBT_DB) };
  const mean = power / files;
  const sigma = Math.sqrt(variance) / files;
  const level = Math.max(mean, sigma);
  return { levelDb: 10 * Math.log10(level), sigmaDb: ((10 / Math.LN10) * sigma) / level };
}

function halfWidthOf(side: Side, line: number): number {
  const { fileIndex, firstIndex, lastIndex, widthHz } = side.spurs[line]!;
  const { frequencyHz } = side.traces[fileIndex]!;
  return Math.max(0.5 * widthHz, (frequencyHz[lastIndex]! - frequencyHz[firstIndex]!) / 2);
}
