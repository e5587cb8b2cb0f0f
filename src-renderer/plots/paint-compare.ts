import type { CompareView, TraceColumns } from '../../src-main/api/contract.ts';
import type { Band } from '../../src-main/model/band.ts';
import { paintBands } from './paint-spectrum.ts';
import type { Palette } from './palette.ts';
import type { Painter } from './trace-plot.ts';
import type { Scales } from './trace-plot-scales.ts';

/** A floor counts as raised, and so as hiding, from this many decibels on; smaller differences are the floors' own doubt. */
const RAISED_DB = 3;

/** Bands, grid, and hatched the area between the two floors where the later one stands over the earlier. */
export function underCompare(
  palette: Palette,
  bands: readonly Band[],
  levels: readonly number[],
  before: TraceColumns | null,
  after: TraceColumns | null,
): Painter {
  return (ctx, scales) => {
    paintBands(ctx, scales, palette, bands);
    ctx.strokeStyle = palette.rule;
    ctx.lineWidth = 1;
    ctx.beginPath();
    for (const level of levels) {
      const y = Math.round(scales.y(level)) + 0.5;
      ctx.moveTo(0, y);
      ctx.lineTo(scales.width, y);
    }
    ctx.stroke();
    if (before !== null && after !== null && before.floorDb.length > 0 && after.floorDb.length > 0)
      paintRaised(ctx, scales, palette, before, after);
  };
}

function paintRaised(
  ctx: CanvasRenderingContext2D,
  scales: Scales,
  palette: Palette,
  before: TraceColumns,
  after: TraceColumns,
): void {
  ctx.save();
  ctx.globalAlpha = 0.8;
  ctx.fillStyle = palette.hatch;
  let b = 0;
  for (let i = 0; i + 1 < after.frequencyHz.length; i++) {
    const hz = after.frequencyHz[i]!;
    while (b + 1 < before.frequencyHz.length && before.frequencyHz[b + 1]! <= hz) b++;
    const [low, high] = [before.floorDb[b]!, after.floorDb[i]!];
    if (!(high - low > RAISED_DB)) continue;
    const x = scales.x(hz);
    ctx.fillRect(x, scales.y(high), scales.x(after.frequencyHz[i + 1]!) - x + 0.5, scales.y(low) - scales.y(high));
  }
  ctx.restore();
}

/** What became of each spur: tick at the old level, arrow to the new, stop bar at a proven limit, hatched box where hidden. */
export function overCompare(palette: Palette, view: CompareView, chosen: number | null): Painter {
  return (ctx, scales) => {
    const { k } = palette;
    ctx.strokeStyle = palette.ink;
    view.tracks.forEach((track, index) => {
      const before = view.beforeSpurs[track.beforeSpur ?? -1];
      const after = view.afterSpurs[track.afterSpur ?? -1];
      const spur = before ?? after;
      if (spur === undefined) return;
      const x = scales.x(spur.frequencyHz);
      if (x < -10 || x > scales.width + 10) return;
      if (index === chosen) {
        ctx.fillStyle = palette.penWash;
        ctx.fillRect(x - 6 * k, 0, 12 * k, scales.height);
      }
      const y0 = before === undefined ? null : scales.y(before.levelDb);
      const y1 = after === undefined ? null : scales.y(after.levelDb);
      ctx.fillStyle = palette.ink;
      if (track.status === 'hidden' && y0 !== null) {
        ctx.fillStyle = palette.hatch;
        ctx.lineWidth = 1.3;
        ctx.fillRect(x - 6 * k, y0 - 6 * k, 12 * k, 12 * k);
        ctx.strokeRect(x - 6 * k, y0 - 6 * k, 12 * k, 12 * k);
      } else if ((track.status === 'new' || track.status === 'back') && y1 !== null) {
        ctx.beginPath();
        ctx.arc(x, y1 - 7 * k, 4 * k, 0, 7);
        ctx.fill();
      } else if (y0 !== null && y1 === null && track.upperLimitDb !== null && track.status !== 'uncovered') {
        tick(ctx, x, y0, k);
        const limit = scales.y(track.upperLimitDb);
        dashed(ctx, x, y0, limit);
        ctx.fillRect(x - 5.5 * k, limit - 1.3 * k, 11 * k, 2.6 * k);
      } else if (y0 !== null && y1 !== null && (track.status === 'weaker' || track.status === 'stronger')) {
        tick(ctx, x, y0, k);
        dashed(ctx, x, y0, y1);
        arrow(ctx, x, y1, y1 > y0 ? 1 : -1, k);
      }
    });
  };
}

function tick(ctx: CanvasRenderingContext2D, x: number, y: number, k: number): void {
  ctx.lineWidth = 1.6;
  ctx.beginPath();
  ctx.moveTo(x - 5 * k, y);
  ctx.lineTo(x + 5 * k, y);
  ctx.stroke();
}

function dashed(ctx: CanvasRenderingContext2D, x: number, y0: number, y1: number): void {
  ctx.lineWidth = 1;
  ctx.setLineDash([2, 2]);
  ctx.beginPath();
  ctx.moveTo(x, y0);
  ctx.lineTo(x, y1);
  ctx.stroke();
  ctx.setLineDash([]);
}

function arrow(ctx: CanvasRenderingContext2D, x: number, y: number, down: 1 | -1, k: number): void {
  ctx.beginPath();
  ctx.moveTo(x - 3.6 * k, y - down * 8 * k);
  ctx.lineTo(x, y - down * 2 * k);
  ctx.lineTo(x + 3.6 * k, y - down * 8 * k);
  ctx.closePath();
  ctx.fill();
}
