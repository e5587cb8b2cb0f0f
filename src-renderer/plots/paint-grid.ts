import { paintOf, threadThickness, type GridRow } from '../state/grid-rows.ts';
import type { OwnerLook } from '../state/source-names.ts';
import type { TrackCell } from '../../src-main/model/state-track.ts';
import type { Palette } from './palette.ts';

type Context = CanvasRenderingContext2D;

/** The part of the grid of all lines that is in sight, in pixels of the page. */
export interface GridView {
  /** Rows from the first in sight, and where it begins; columns likewise. */
  readonly rows: readonly GridRow[];
  readonly topPx: number;
  readonly rowPx: number;
  readonly columns: readonly number[];
  readonly leftPx: number;
  readonly columnPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly chosenTrack: number | null;
  readonly chosenColumn: number | null;
  readonly range: { readonly lowDb: number; readonly highDb: number };
  readonly lookOf: (source: string) => OwnerLook;
}

/** A figure to be written, once all marks stand: letters are set once for each weight, since changing them costs more than writing. */
interface Figure {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly ink: string;
  readonly isAtRight: boolean;
}

/**
 * Paints the cells of the grid in sight: a thread as thick as the level is high in its source's tint, the mark of what became of the
 * line, change and figure. Painted and not put into the page as elements: seven hundred cells made anew with each turn of the wheel cost
 * six times what a picture may.
 */
export function paintGrid(ctx: Context, palette: Palette, view: GridView): void {
  const { rows, columns, rowPx, columnPx, leftPx, topPx, widthPx, heightPx, chosenTrack, chosenColumn } = view;
  ctx.fillStyle = palette.rule2;
  columns.forEach((_, c) => ctx.fillRect(leftPx + c * columnPx, 0, 1, heightPx));
  const light: Figure[] = [];
  const bold: Figure[] = [];
  rows.forEach((row, r) => {
    const y = topPx + r * rowPx;
    if (row.kind === 'group') {
      ctx.clearRect(0, y, widthPx, rowPx);
      ctx.fillStyle = palette.rule;
      ctx.fillRect(0, y, widthPx, 1);
      return;
    }
    const { track } = row;
    const tint = palette.tint(track.source === null ? undefined : view.lookOf(track.source));
    columns.forEach((column, c) => {
      const cell = track.cells[column] ?? null;
      const isChosen = track.number === chosenTrack && column === chosenColumn;
      if (cell !== null) paintCell(ctx, palette, cell, tint, view, leftPx + c * columnPx, y, isChosen, light, bold);
    });
  });
  ctx.textBaseline = 'middle';
  writeAll(ctx, palette, light, 400);
  writeAll(ctx, palette, bold, 700);
  const place = chosenColumn === null ? -1 : columns.indexOf(chosenColumn);
  if (place < 0) return;
  ctx.fillStyle = palette.ink;
  ctx.fillRect(leftPx + place * columnPx, 0, 1, heightPx);
  ctx.fillRect(leftPx + (place + 1) * columnPx - 1, 0, 1, heightPx);
  rows.forEach((row, r) => {
    if (row.kind !== 'track' || row.track.number !== chosenTrack) return;
    ctx.strokeStyle = palette.ink;
    ctx.lineWidth = 2;
    ctx.strokeRect(leftPx + place * columnPx + 1, topPx + r * rowPx + 1, columnPx - 2, rowPx - 2);
  });
}

function paintCell(
  ctx: Context,
  palette: Palette,
  cell: TrackCell,
  tint: Palette['hatch'],
  { columnPx, rowPx, range }: GridView,
  x: number,
  y: number,
  isChosen: boolean,
  light: Figure[],
  bold: Figure[],
): void {
  const { k } = palette;
  const { mark, figure, change, isSure, isOver } = paintOf(cell, null, range);
  const middle = y + rowPx / 2;
  if (isChosen) {
    ctx.fillStyle = palette.penWash;
    ctx.fillRect(x, y, columnPx, rowPx);
  }
  const starts = mark.includes('starts');
  if (cell.levelDb !== null) {
    const thick = threadThickness(cell.levelDb, range.lowDb, range.highDb) * k;
    const from = starts ? x + 10 * k : x + 1;
    ctx.globalAlpha = palette.threadAlpha;
    ctx.fillStyle = tint;
    ctx.fillRect(from, middle - thick / 2, x + columnPx - from, thick);
    ctx.globalAlpha = 1;
  }
  if (starts) {
    ctx.fillStyle = palette.ink;
    ctx.beginPath();
    ctx.arc(x + 9 * k, middle, 4 * k, 0, 7);
    ctx.fill();
    if (mark.includes('again')) ctx.fillRect(x + 1, middle - 1, 2.5 * k, 2.5 * k);
  } else if (mark === 'stops') {
    ctx.fillStyle = palette.ink;
    ctx.fillRect(x, y + 3 * k, 2.5 * k, rowPx - 6 * k);
  } else if (mark === 'hides') {
    ctx.globalAlpha = 0.55;
    ctx.fillStyle = palette.hatch;
    ctx.fillRect(x + 3 * k, y + 3 * k, columnPx - 6 * k, rowPx - 6 * k);
    ctx.strokeStyle = palette.ink;
    ctx.lineWidth = 1;
    ctx.strokeRect(x + 3.5 * k, y + 3.5 * k, columnPx - 7 * k, rowPx - 7 * k);
    ctx.globalAlpha = 1;
  }
  const to = isSure ? bold : light;
  if (change !== null) {
    const ink = isSure ? palette.ink : palette.ink2;
    to.push({ text: change, x: x + 15 * k, y: middle, ink, isAtRight: false });
  }
  const ink = isOver ? palette.overText : palette.ink;
  to.push({ text: figure, x: x + columnPx - 3 * k, y: middle, ink, isAtRight: true });
}

function writeAll(ctx: Context, palette: Palette, figures: readonly Figure[], weight: number): void {
  const { k } = palette;
  ctx.font = palette.font(11, weight);
  const widths = new Map<string, number>();
  /** Figures are all of one width, so that texts alike but for them are measured once. */
  const widthOf = (text: string): number => {
    const alike = text.replace(/\d/g, '0');
    let width = widths.get(alike);
    if (width === undefined) widths.set(alike, (width = ctx.measureText(alike).width));
    return width;
  };
  ctx.globalAlpha = 0.84;
  ctx.fillStyle = palette.paper;
  // behind a figure a thread would read as a stroke through it, and take its contrast
  ctx.beginPath();
  for (const { text, x, y, isAtRight } of figures) {
    const width = widthOf(text);
    ctx.rect((isAtRight ? x - width : x) - 2, y - 7 * k, width + 4, 14 * k);
  }
  ctx.fill();
  ctx.globalAlpha = 1;
  for (const isAtRight of [false, true]) {
    ctx.textAlign = isAtRight ? 'right' : 'left';
    for (const figure of figures) {
      if (figure.isAtRight !== isAtRight) continue;
      ctx.fillStyle = figure.ink;
      ctx.fillText(figure.text, figure.x, figure.y);
    }
  }
}
