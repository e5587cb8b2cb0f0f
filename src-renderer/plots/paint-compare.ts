import type { CompareView, TraceColumns } from '../../src-main/api/contract.ts';
import type { Band } from '../../src-main/model/band.ts';
import { paintBands } from './paint-spectrum.ts';
import type { Palette } from './palette.ts';
import type { Painter } from './trace-plot.ts';
import type { Scales } from './trace-plot-scales.ts';

/** A floor counts as raised, and so as hiding, from this many decibels on; smaller differences are the floors' own doubt. */
const RAISED_DB = 3;

/** Bands and grid. */
export function underCompare(palette: Palette, bands: readonly Band[], levels: readonly number[]): Painter {
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
  };
}

/** Hatched: what lies between the two floors where the later one stands over the earlier, with the words for it. */
export function betweenCompare(palette: Palette, before: TraceColumns | null, after: TraceColumns | null): Painter {
  return (ctx, scales) => {
    if (before === null || after === null || before.floorDb.length === 0 || after.floorDb.length === 0) return;
    const runs = raisedRuns(before, after, scales);
    ctx.fillStyle = palette.hatch;
    ctx.globalAlpha = 0.85;
    for (const run of runs) {
      ctx.beginPath();
      for (const { x, top } of run) ctx.lineTo(x, top);
      for (const { x, bottom } of run.toReversed()) ctx.lineTo(x, bottom);
      ctx.closePath();
      ctx.fill();
    }
    ctx.globalAlpha = 1;
    const widest = runs.toSorted((a, b) => widthOf(b) - widthOf(a))[0];
    if (widest !== undefined) paintWords(ctx, palette, scales, widest);
  };
}

interface Raised {
  readonly x: number;
  readonly top: number;
  readonly bottom: number;
}

const widthOf = (run: readonly Raised[]) => run.at(-1)!.x - run[0]!.x;

function raisedRuns(before: TraceColumns, after: TraceColumns, scales: Scales): readonly (readonly Raised[])[] {
  const runs: Raised[][] = [];
  let isOpen = false;
  let b = 0;
  for (let i = 0; i < after.frequencyHz.length; i++) {
    const hz = after.frequencyHz[i]!;
    while (b + 1 < before.frequencyHz.length && before.frequencyHz[b + 1]! <= hz) b++;
    const [low, high] = [before.floorDb[b]!, after.floorDb[i]!];
    const isRaised = high - low > RAISED_DB;
    if (isRaised && !isOpen) runs.push([]);
    if (isRaised) runs.at(-1)!.push({ x: scales.x(hz), top: scales.y(high), bottom: scales.y(low) });
    isOpen = isRaised;
  }
  return runs;
}

function paintWords(ctx: CanvasRenderingContext2D, palette: Palette, scales: Scales, run: readonly Raised[]): void {
  const text = 'hidden: nothing here counts as cleared';
  ctx.font = `700 ${11 * palette.k}px "Nimbus Sans", "Liberation Sans", Arial, sans-serif`;
  const room = ctx.measureText(text).width + 14 * palette.k;
  const [left, right] = [Math.max(0, run[0]!.x), Math.min(scales.width, run.at(-1)!.x)];
  if (right - left < room) return;
  const middle = (left + right) / 2;
  const y = Math.min(scales.height - 22 * palette.k, Math.max(...run.map((at) => at.bottom)) + 4 * palette.k);
  ctx.fillStyle = palette.paper;
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1;
  ctx.fillRect(middle - room / 2, y, room, 18 * palette.k);
  ctx.strokeRect(middle - room / 2, y, room, 18 * palette.k);
  ctx.fillStyle = palette.ink;
  ctx.textAlign = 'center';
  ctx.fillText(text, middle, y + 13 * palette.k);
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
