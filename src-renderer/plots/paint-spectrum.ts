import type { TraceColumns } from '../../src-main/api/contract.ts';
import type { Band } from '../../src-main/model/band.ts';
import type { SourceNames } from '../state/source-names.ts';
import { allowedLevelDb } from '../state/spur-rows.ts';
import type { SpurRow } from '../state/spur-rows.ts';
import { columnAt } from './column-at.ts';
import { MarkSprites } from './mark-sprites.ts';
import { marksShown } from './marks-shown.ts';
import type { Palette } from './palette.ts';
import type { Painter } from './trace-plot.ts';
import type { Scales } from './trace-plot-scales.ts';

type Context = CanvasRenderingContext2D;

/** Bands, grid and the floor's own doubt: what lies under the trace. */
export function underSpectrum(
  palette: Palette,
  bands: readonly Band[],
  ticks: { readonly frequencies: readonly number[]; readonly levels: readonly number[] },
  columns: TraceColumns | null,
  floorSigmaDb: number,
  litHz: readonly number[] = [],
): Painter {
  return (ctx, scales) => {
    paintBands(ctx, scales, palette, bands);
    paintLit(ctx, scales, palette, litHz);
    ctx.strokeStyle = palette.rule;
    ctx.lineWidth = 1;
    ctx.beginPath();
    for (const f of ticks.frequencies) {
      const x = Math.round(scales.x(f)) + 0.5;
      ctx.moveTo(x, 0);
      ctx.lineTo(x, scales.height);
    }
    for (const level of ticks.levels) {
      const y = Math.round(scales.y(level)) + 0.5;
      ctx.moveTo(0, y);
      ctx.lineTo(scales.width, y);
    }
    ctx.stroke();
    if (columns === null || columns.floorDb.length === 0) return;
    // The doubt of the floor is often thinner than a pixel: it is never drawn thinner than two, or it could not be seen at all.
    const half = Math.max(1.5, Math.abs(scales.y(0) - scales.y(2 * floorSigmaDb)));
    const { frequencyHz, floorDb } = columns;
    ctx.fillStyle = palette.shade;
    ctx.beginPath();
    const at = smoothPoints(frequencyHz.length, scales.width);
    for (const i of at) ctx.lineTo(scales.x(frequencyHz[i]!), scales.y(floorDb[i]!) - half);
    for (const i of at.reverse()) ctx.lineTo(scales.x(frequencyHz[i]!), scales.y(floorDb[i]!) + half);
    ctx.closePath();
    ctx.fill();
  };
}

/** The pen through the lines of a comb that is pointed at. */
export function paintLit(ctx: Context, scales: Scales, palette: Palette, litHz: readonly number[]): void {
  ctx.fillStyle = palette.penWash;
  for (const hz of litHz) {
    const x = scales.x(hz);
    if (x >= 0 && x <= scales.width) ctx.fillRect(x - 2 * palette.k, 0, 4 * palette.k, scales.height);
  }
}

/** Points enough for a line as smooth as a floor is: one in three pixels, and the last. */
function smoothPoints(count: number, width: number): number[] {
  const stride = Math.max(1, Math.floor((3 * count) / Math.max(1, width)));
  const at: number[] = [];
  for (let i = 0; i < count - 1; i += stride) at.push(i);
  if (count > 0) at.push(count - 1);
  return at;
}

export function paintBands(ctx: Context, scales: Scales, palette: Palette, bands: readonly Band[]): void {
  ctx.fillStyle = palette.band;
  // Washed, so that the pen under the plot shows through.
  ctx.globalAlpha = 0.66;
  for (const band of bands) {
    const x0 = Math.max(0, scales.x(band.lowHz));
    const x1 = Math.min(scales.width, scales.x(band.highHz));
    if (x1 > x0) ctx.fillRect(x0, 0, Math.max(1, x1 - x0), scales.height);
  }
  ctx.globalAlpha = 1;
}

/** Threshold, allowed level and the marks of cause: what lies over the trace. */
export function overSpectrum(
  palette: Palette,
  columns: TraceColumns | null,
  bands: readonly Band[],
  unit: string,
  rows: readonly SpurRow[],
  names: SourceNames,
  chosen: number | null,
  lit: ReadonlySet<number>,
): Painter {
  const sprites = spritesOf(palette);
  return (ctx, scales) => {
    const { k } = palette;
    if (columns !== null && columns.floorDb.length > 0) {
      curve(ctx, scales, columns.frequencyHz, columns.floorDb, palette.paper, 3);
      curve(ctx, scales, columns.frequencyHz, columns.floorDb, palette.ink, 1.25);
      ctx.setLineDash([5, 4]);
      curve(ctx, scales, columns.frequencyHz, columns.thresholdDb, palette.ink2, 1);
      ctx.setLineDash([]);
      for (const band of bands) allowed(ctx, scales, palette, columns, band, unit);
    }
    const isLit = (row: SpurRow): boolean => lit.has(row.index);
    const inView = marksShown(rows, (hz) => scales.x(hz), scales.width, 6 * k, isLit, chosen);
    ctx.strokeStyle = palette.over;
    ctx.lineWidth = 2.6 * k;
    ctx.beginPath();
    for (const { spur, allowedDb, marginDb } of inView) {
      if (allowedDb === null || marginDb === null || marginDb >= 0) continue;
      const x = scales.x(spur.frequencyHz);
      ctx.moveTo(x, scales.y(allowedDb) - 3 * k);
      ctx.lineTo(x, scales.y(spur.levelDb));
    }
    ctx.stroke();
    const small = inView.length > 150 ? 3.4 : inView.length > 60 ? 4.1 : 4.8;
    const paint = (row: SpurRow) => {
      const owners = row.explanation.candidates.slice(0, 2).map((candidate) => names.candidate(candidate));
      const isBig = row.index === chosen || lit.has(row.index);
      const radius = (row.index === chosen ? 6.5 : isBig ? 5.6 : small) * k;
      sprites.stamp(ctx, row.cause, owners, scales.x(row.spur.frequencyHz), markY(scales, row, k, columns), radius);
    };
    for (const row of inView) paint(row);
  };
}

const SPRITES = new WeakMap<Palette, MarkSprites>();

function spritesOf(palette: Palette): MarkSprites {
  let made = SPRITES.get(palette);
  if (made === undefined) SPRITES.set(palette, (made = new MarkSprites(palette, devicePixelRatio || 1)));
  return made;
}

/**
 * The height a spur reaches in the trace as drawn. Its own level lies lower where the noise under it was taken off, and so does the
 * floor where a held trace reads above its mean.
 */
function tipDb({ spur }: SpurRow, columns: TraceColumns | null): number {
  const own = Math.max(spur.levelDb, spur.floorDb + spur.overFloorDb);
  const at = columns === null ? null : columnAt(columns, spur.frequencyHz);
  if (columns === null || at === null || at + 1 >= columns.frequencyHz.length) return own;
  const drawn = Math.max(columns.maximumDb[at]!, columns.maximumDb[at + 1]!);
  const isInside = spur.frequencyHz >= columns.frequencyHz[0]!;
  return isInside && drawn > own ? drawn : own;
}

/** Where a spur's mark sits: over its tip, never above the plot. */
export function markY(scales: Scales, row: SpurRow, k: number, columns: TraceColumns | null): number {
  return Math.max(6 * k, scales.y(tipDb(row, columns)) - 8 * k);
}

function curve(
  ctx: Context,
  scales: Scales,
  frequencyHz: Float64Array,
  levelDb: Float64Array,
  stroke: string,
  width: number,
): void {
  ctx.strokeStyle = stroke;
  ctx.lineWidth = width;
  ctx.beginPath();
  let isPenUp = true;
  for (const i of smoothPoints(frequencyHz.length, scales.width)) {
    const level = levelDb[i]!;
    if (!Number.isFinite(level)) {
      isPenUp = true;
      continue;
    }
    if (isPenUp) ctx.moveTo(scales.x(frequencyHz[i]!), scales.y(level));
    else ctx.lineTo(scales.x(frequencyHz[i]!), scales.y(level));
    isPenUp = false;
  }
  ctx.stroke();
}

/** The allowed level inside a band: a double rule, as every requirement. */
function allowed(
  ctx: Context,
  scales: Scales,
  palette: Palette,
  columns: TraceColumns,
  band: Band,
  unit: string,
): void {
  const { k } = palette;
  const points: [number, number][] = [];
  const { frequencyHz, floorDb } = columns;
  for (const i of smoothPoints(frequencyHz.length, scales.width)) {
    if (frequencyHz[i]! < band.lowHz || frequencyHz[i]! > band.highHz) continue;
    const level = allowedLevelDb(band, floorDb[i]!, unit);
    if (level !== null && Number.isFinite(level)) points.push([scales.x(frequencyHz[i]!), scales.y(level)]);
  }
  for (const [stroke, width, shifts] of [
    [palette.paper, 5, [-1.5]],
    [palette.ink, 0.9, [0, -3]],
  ] as const) {
    ctx.strokeStyle = stroke;
    ctx.lineWidth = width;
    for (const shift of shifts) {
      ctx.beginPath();
      for (const [x, y] of points) ctx.lineTo(x, y + shift * k);
      ctx.stroke();
    }
  }
}
