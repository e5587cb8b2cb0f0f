import type { OwnerLook } from '../state/source-names.ts';
import type { TeethView, Tooth } from './comb-rows.ts';
import type { Palette } from './palette.ts';

type Context = CanvasRenderingContext2D;

/** Adds a tooth to the path: upright sides where its place is certain, points where it is wider than 3 px. */
function addTooth(ctx: Context, { x, half }: Tooth, middle: number, height: number, k: number): void {
  if (half <= 3.2 * k) {
    ctx.rect(x - half, middle - height / 2, 2 * half, height);
    return;
  }
  const inner = half * 0.45;
  ctx.moveTo(x - half, middle);
  ctx.lineTo(x - inner, middle - height / 2);
  ctx.lineTo(x + inner, middle - height / 2);
  ctx.lineTo(x + half, middle);
  ctx.lineTo(x + inner, middle + height / 2);
  ctx.lineTo(x - inner, middle + height / 2);
  ctx.closePath();
}

/** The lower half of the same tooth. */
function addLowerHalf(ctx: Context, { x, half }: Tooth, middle: number, height: number, k: number): void {
  if (half <= 3.2 * k) {
    ctx.rect(x - half, middle, 2 * half, height / 2);
    return;
  }
  const inner = half * 0.45;
  ctx.moveTo(x - half, middle);
  ctx.lineTo(x + half, middle);
  ctx.lineTo(x + inner, middle + height / 2);
  ctx.lineTo(x - inner, middle + height / 2);
  ctx.closePath();
}

/**
 * Paints one row of the comb strip: filled seen, hollow expected and not seen, lower half filled shared. Teeth of one kind are one
 * path: a row may have hundreds, and each picture while the view moves paints them all.
 */
export function paintTeeth(
  ctx: Context,
  palette: Palette,
  look: OwnerLook,
  view: TeethView,
  width: number,
  rowHeight: number,
  litSpur: number | null,
  withFigures: boolean,
): void {
  const { k } = palette;
  const middle = rowHeight / 2;
  const height = rowHeight - 8 * k;
  if (view.isDots) {
    ctx.fillStyle = palette.dots;
    ctx.fillRect(0, middle - height / 2 + 1, width, height - 2);
  }
  const isLit = (tooth: Tooth): boolean => tooth.spur !== null && tooth.spur === litSpur;
  for (const state of ['empty', 'shared', 'seen'] as const) {
    const teeth = view.teeth.filter((tooth) => tooth.state === state);
    if (teeth.length === 0) continue;
    ctx.beginPath();
    for (const tooth of teeth) addTooth(ctx, tooth, middle, height, k);
    ctx.fillStyle = state === 'seen' ? palette.tint(look) : palette.paper;
    ctx.fill();
    ctx.strokeStyle = palette.ink;
    ctx.lineWidth = state === 'empty' ? 0.9 : 1.1;
    if (state === 'shared') {
      ctx.stroke();
      ctx.beginPath();
      for (const tooth of teeth) addLowerHalf(ctx, tooth, middle, height, k);
      ctx.fillStyle = palette.tint(look);
      ctx.fill();
    }
    ctx.stroke();
  }
  ctx.beginPath();
  for (const tooth of view.teeth) if (isLit(tooth)) addTooth(ctx, tooth, middle, height, k);
  ctx.lineWidth = 2.2;
  ctx.stroke();
  if (!withFigures) return;
  ctx.font = palette.font(11);
  ctx.textAlign = 'left';
  ctx.fillStyle = palette.ink3;
  for (const { harmonic, x, half } of view.teeth)
    if (half < 8 * k) ctx.fillText(String(harmonic), x + half + 3 * k, middle + 4 * k);
}
