import type { Band } from '../../model/band.ts';
import type { LimitLine } from '../../model/limit-line.ts';
import type { CaptureSensitivity } from '../../model/verdict.ts';
import type { VerdictSettings } from '../../model/verdict-settings.ts';
import { allowancesOf, type Obstacle } from './allowance.ts';
import { bandLines, type BandLine } from './band-lines.ts';
import { cellStates, type CellView } from './cell-states.ts';
import type { Cell } from './channel-grid.ts';
import { imagesOf, zoneOf } from './images.ts';
import type { Reading } from './judged-capture.ts';
import { fitOf, type Fit } from './reading-fit.ts';
import { whatCouldHide, type HiddenInCell } from './what-could-hide.ts';

/** One capture held against what one band (or a limit line in it) allows. */
export interface BandView {
  readonly reading: Reading;
  /** Why it can never show that the band holds; null where it can. */
  readonly obstacle: Obstacle | null;
  readonly fit: Fit;
  readonly lines: readonly BandLine[];
  /** Parallel to the cells. */
  readonly cells: readonly CellView[];
  /** What the capture could have missed in the band itself, parallel to the cells; the worst of all images. */
  readonly hidden: readonly HiddenInCell[];
  readonly warnings: readonly string[];
}

/**
 * @param accepts which lines were accepted in writing
 * @param z quantile of the one-sided confidence that decides
 */
export function bandView(
  reading: Reading,
  band: Band,
  cells: readonly Cell[],
  limit: LimitLine | null,
  floor: (frequencyHz: number) => number,
  accepts: (line: BandLine) => boolean,
  settings: VerdictSettings,
  z: number,
): BandView {
  const images = imagesOf(band);
  const { list, obstacle } = allowancesOf(reading, band, limit, floor, settings);
  const fit = fitOf(reading.taken, limit, band.lowHz, band.highHz, settings.bandwidthShare);
  const lines = bandLines(reading, band, images, list, z).map((line) =>
    accepts(line) ? { ...line, isAccepted: true } : line,
  );
  const rejectionDb = band.imageRejectionDb ?? 0;
  const knowsFilter = band.imageRejectionDb !== null && band.imageRejectionDb !== undefined;
  const ofImages = images.map((image) => {
    const hidden = whatCouldHide(reading, cells, image, list, lines, image.isDirect ? 0 : rejectionDb, z);
    // A filter that somebody stated is trusted where nothing was measured; without one an unmeasured image is an unmeasured band.
    if (image.isDirect) return hidden;
    return hidden.map((cell) =>
      cell.uncoveredWhy === null
        ? cell
        : knowsFilter
          ? { ...cell, uncoveredWhy: null, overDb: -Infinity }
          : { ...cell, uncoveredWhy: `${cell.uncoveredWhy} (${image.name})` },
    );
  });
  const own = ofImages[0]!;
  return {
    reading,
    obstacle: obstacle ?? clipped(reading),
    fit,
    lines,
    cells: cellStates(band, cells, lines, ofImages),
    hidden: own.map((_, i) => ofImages.map((ofImage) => ofImage[i]!).reduce(worse)),
    warnings: zoneWarning(band),
  };
}

function worse(a: HiddenInCell, b: HiddenInCell): HiddenInCell {
  if (a.uncoveredWhy !== null) return a;
  return b.uncoveredWhy !== null || b.overDb > a.overDb ? b : a;
}

/** Levels of a recording that reached full scale are not those of the build. */
function clipped({ taken, capture }: Reading): Obstacle | null {
  if ((taken.clippedSamples ?? 0) > 0)
    return { reason: 'cannot tell', why: `${taken.clippedSamples} samples reached full scale, so no level is sure` };
  if (capture.triaged.trace.axis === 'offset')
    return { reason: 'cannot tell', why: 'its frequencies count from a centre that nobody stated' };
  return null;
}

function zoneWarning(band: Band): string[] {
  if (band.sampleRateHz === null) return [];
  const zone = zoneOf(band);
  if (zone === null) return [`${band.name} crosses an edge of a Nyquist zone: it folds onto itself.`];
  return band.zone !== null && band.zone !== undefined && band.zone !== zone
    ? [`${band.name} is said to lie in Nyquist zone ${band.zone} but lies in zone ${zone} at this sample rate.`]
    : [];
}

/** What the capture can show of the band, for the page and the packet. */
export function sensitivityOf(
  { reading, hidden, obstacle }: BandView,
  band: Band,
  cells: readonly Cell[],
): CaptureSensitivity {
  const { floor } = reading.capture.triaged.triage;
  let covered = 0;
  let worst: HiddenInCell | null = null;
  hidden.forEach((cell, i) => {
    if (cell.uncoveredWhy !== null) return;
    covered += cells[i]!.highHz - cells[i]!.lowHz;
    if (!cell.isUnderLine && (worst === null || cell.overDb > worst.overDb)) worst = cell;
  });
  const found = worst as HiddenInCell | null;
  const comparable = found !== null && Number.isFinite(found.overDb) && obstacle === null;
  return {
    captureId: reading.capture.captureId,
    band: band.name,
    coveredShare: Math.min(1, covered / (band.highHz - band.lowHz)),
    weakestDetectableDb: found === null || !Number.isFinite(found.levelDb) ? null : found.levelDb,
    weakestOverFloorDb: found === null ? null : floor.weakestDetectableOverFloorDb,
    spareDb: comparable ? -found.overDb : null,
    unit: reading.unit?.name ?? 'unknown',
  };
}
