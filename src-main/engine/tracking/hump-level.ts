import { bandPower } from './band-power.ts';
import type { Level } from './judge-track.ts';
import type { Side } from './side.ts';

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
  for (const trace of side.traces) {
    const inBand = bandPower(trace, spur.frequencyHz - halfWidth, spur.frequencyHz + halfWidth);
    if (inBand.blankShare > 0.1) continue;
    power += inBand.power;
    variance += inBand.sigma ** 2;
    files++;
  }
  if (files === 0) return { levelDb: spur.levelDb, sigmaDb: spur.levelSigmaDb };
  const mean = power / files;
  const sigma = Math.sqrt(variance) / files;
  const level = Math.max(mean, sigma);
  return { levelDb: 10 * Math.log10(level), sigmaDb: ((10 / Math.LN10) * sigma) / level };
}

function halfWidthOf(side: Side, line: number): number {
  const { fileIndex, firstIndex, lastIndex, widthHz } = side.spurs[line]!;
  const { frequencyHz } = side.traces[fileIndex]!;
  return Math.max(widthHz, (frequencyHz[lastIndex]! - frequencyHz[firstIndex]!) / 2);
}
