import type { Allowance } from './allowance.ts';
import type { BandLine } from './band-lines.ts';
import type { Cell } from './channel-grid.ts';
import { betweenPointsDb } from './between-points.ts';
import { inBand, type Image } from './images.ts';
import type { Reading } from './judged-capture.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** What a capture could have missed in one cell of a band. */
export interface HiddenInCell {
  /** Why the capture says nothing of the cell; null where it does. */
  readonly uncoveredWhy: string | null;
  /** The strongest line that it could have missed (probability 0.95 to find it), over what is allowed, with the doubt added. */
  readonly overDb: number;
  /** That line's level, decibels of the capture's unit, without doubt, and what is allowed there. */
  readonly levelDb: number;
  readonly allowedDb: number;
  readonly atHz: number;
  /** True where the skirt of a stronger line sets it, not the noise. */
  readonly isUnderLine: boolean;
}

const ALLOWS_ALL: Allowance = { kind: 'absolute', lowest: () => Infinity, sigmaDb: 0, humpBandwidthHz: null };

/**
 * For each cell the strongest line that the capture would not show, in one image.
 *
 * Over noise: the local mean noise power plus the height found with probability 0.95, plus what a line loses between two points
 * (betweenPointsDb). Where a found line's skirt stands, as much as the trace reads; not
 * within one bandwidth of a line that is itself within what is allowed, since there its power holds whatever lies under it, and
 * nowhere under a line that was accepted.
 */
export function whatCouldHide(
  reading: Reading,
  cells: readonly Cell[],
  image: Image,
  allowances: readonly Allowance[],
  lines: readonly BandLine[],
  rejectionDb: number,
  z: number,
): HiddenInCell[] {
  // With nothing to hold a level against only the covering is told.
  const held = allowances.length > 0 ? allowances : [ALLOWS_ALL];
  const { trace, levelDb, triage } = reading.capture.triaged;
  const { frequencyHz } = trace;
  const { floor, spurs } = triage;
  const lossDb = betweenPointsDb(floor, reading.spacingHz, reading.rbwHz);
  const halfSpacing = reading.spacingHz / 2;
  const [firstHz, lastHz] = [frequencyHz[0]! - halfSpacing, frequencyHz[frequencyHz.length - 1]! + halfSpacing];
  const worstOfSpur = new Map<number, number>();
  const accepted = new Set<number>();
  for (const { spurIndex, isAccepted } of lines) if (isAccepted) accepted.add(spurIndex);
  for (const { spurIndex, over } of lines)
    worstOfSpur.set(spurIndex, Math.max(worstOfSpur.get(spurIndex) ?? -Infinity, over.high));
  const lastIndices = Int32Array.from(spurs, (spur) => spur.lastIndex);

  return cells.map((cell) => {
    const ends = [toInput(image, cell.lowHz), toInput(image, cell.highHz)].sort((x, y) => x - y) as [number, number];
    const middleHz = (ends[0] + ends[1]) / 2;
    const nothing = (uncoveredWhy: string): HiddenInCell => ({
      uncoveredWhy,
      overDb: Infinity,
      levelDb: NaN,
      allowedDb: NaN,
      atHz: middleHz,
      isUnderLine: false,
    });
    if (ends[1] <= 0) return { ...nothing(''), uncoveredWhy: null, overDb: -Infinity };
    const slack = 1e-9 * ends[1];
    if (Math.max(0, ends[0]) < firstHz - slack || ends[1] > lastHz + slack) return nothing('lies outside the span');
    if (lossDb === Infinity) return nothing('has points too far apart for its bandwidth: a line can fall between');
    const from = Math.max(0, lowerBound(frequencyHz, ends[0] - halfSpacing - slack));
    const to = Math.min(frequencyHz.length, lowerBound(frequencyHz, ends[1] + halfSpacing + slack));
    let best: HiddenInCell | null = null;
    let spur = lowerBound(lastIndices, from);
    for (let j = from; j < to; j++) {
      const level = levelDb[j]!;
      if (Number.isNaN(level)) return nothing('is blank there');
      while (spur < spurs.length && spurs[spur]!.lastIndex < j) spur++;
      const overNoise = floor.meanDb[j]! + floor.weakestDetectableOverFloorDb;
      const isUnder = spur < spurs.length && spurs[spur]!.firstIndex <= j && level > overNoise && !isOwnPower(j, spur);
      const hidden = (isUnder ? level : overNoise) + lossDb - rejectionDb;
      const at = Math.min(cell.highHz, Math.max(cell.lowHz, inBand(image, frequencyHz[j]!)));
      for (const allowance of held) {
        const allowedDb = allowance.lowest(at, at);
        const overDb = hidden + z * allowance.sigmaDb - allowedDb;
        if (best === null || overDb > best.overDb)
          best = {
            uncoveredWhy: null,
            overDb,
            levelDb: hidden,
            allowedDb,
            atHz: frequencyHz[j]!,
            isUnderLine: isUnder,
          };
      }
    }
    return best ?? nothing('has no point there');
  });

  function isOwnPower(j: number, index: number): boolean {
    if (accepted.has(index)) return true;
    const { shape, frequencyHz: at } = spurs[index]!;
    const worst = worstOfSpur.get(index);
    return shape === 'line' && worst !== undefined && worst <= 0 && Math.abs(frequencyHz[j]! - at) <= reading.rbwHz;
  }
}

function toInput({ slope, offsetHz }: Image, bandHz: number): number {
  return (bandHz - offsetHz) / slope;
}
