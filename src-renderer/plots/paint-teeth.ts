import type { OwnerLook } from '../state/source-names.ts';
import type { TeethView, Tooth } from './comb-rows.ts';
import type { Palette } from './palette.ts';

/** Upright sides where the tooth's place is certain, points where it is wider than 3 px. */
function outline(tooth: Tooth, middle: number, height: number, k: number): Path2D {
  const { x, half } = tooth;
  const path = new Path2D();
  if (half <= 3.2 * k) {
    path.rect(x - half, middle - height / 2, 2 * half, height);
    return path;
  }
  const inner = half * 0.45;
  path.moveTo(x - half, middle);
  path.lineTo(x - inner, middle - height / 2);
  path.lineTo(x + inner, middle - height / 2);
  path.lineTo(x + half, middle);
  path.lineTo(x + inner, middle + height / 2);
  path.lineTo(x - inner, middle + height / 2);
  path.closePath();
  return path;
}

/** Paints one row of the comb strip: filled seen, hollow expected and not seen, lower half filled shared. */
export function paintTeeth(
  ctx: CanvasRenderingContext2D,
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
  ctx.clearRect(0, 0, width, rowHeight);
  if (view.isDots) {
    ctx.fillStyle = palette.dots;
    ctx.fillRect(0, middle - height / 2 + 1, width, height - 2);
  }
  for (const tooth of view.teeth) {
    const path = outline(tooth, middle, height, k);
    ctx.fillStyle = tooth.state === 'seen' ? palette.tint(look) : palette.paper;
    ctx.fill(path);
    if (tooth.state === 'shared') {
      ctx.save();
      ctx.clip(path);
      ctx.fillStyle = palette.tint(look);
      ctx.fillRect(tooth.x - tooth.half, middle, 2 * tooth.half, height);
      ctx.restore();
    }
    ctx.strokeStyle = palette.ink;
    ctx.lineWidth = tooth.spur !== null && tooth.spur === litSpur ? 2.2 : tooth.state === 'empty' ? 0.9 : 1.1;
    ctx.stroke(path);
    if (withFigures && tooth.half < 8 * k) {
      ctx.fillStyle = palette.ink3;
      ctx.fillText(String(tooth.harmonic), tooth.x + tooth.half + 3 * k, middle + 4 * k);
    }
  }
}
