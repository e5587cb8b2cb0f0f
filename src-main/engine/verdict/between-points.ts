import type { Floor } from '../../model/floor.ts';

/**
 * How much stronger than the weakest detectable line on a point a line must be that may stand anywhere between two, in dB.
 *
 * Gaussian filter: a line at d spacings from a point reads 3.01·(2·d·spacing/RBW)² dB low there. It is found by the nearer point alone,
 * or by the mean power of both neighbours, whose threshold is lower: by `gain`, the ratio of the two excesses over the mean noise power at
 * threshold. The worst place decides; Infinity where a line can fall through.
 */
export function betweenPointsDb(
  { thresholdDb, meanDb, pairThresholdOverFloorDb }: Pick<Floor, 'thresholdDb' | 'meanDb' | 'pairThresholdOverFloorDb'>,
  spacingHz: number,
  rbwHz: number,
): number {
  const lossAt = (distance: number) => 10 * Math.log10(2) * ((2 * distance * spacingHz) / rbwHz) ** 2;
  const middle = meanDb.length >> 1;
  const single = 10 ** ((thresholdDb[middle]! - meanDb[middle]!) / 10) - 1;
  const pair = 10 ** (pairThresholdOverFloorDb / 10) - 1;
  // the pair never counts for worse than its better point, nor for better than two independent looks would
  const gain = single > 0 && pair > 0 ? Math.min(2, Math.max(1, single / pair)) : 1;
  let worst = 0;
  for (let step = 0; step <= 20; step++) {
    const distance = step / 40;
    const near = 10 ** (-lossAt(distance) / 10);
    const both = (gain * (near + 10 ** (-lossAt(1 - distance) / 10))) / 2;
    worst = Math.max(worst, -10 * Math.log10(Math.max(near, both)));
  }
  return worst > LARGEST_LOSS_DB ? Infinity : worst;
}

/** Above this loss a line can fall through between two points: three quarters of its power. A choice of this tool. */
const LARGEST_LOSS_DB = 6;
