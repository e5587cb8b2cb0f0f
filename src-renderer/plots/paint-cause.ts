import type { Cause } from '../../src-main/model/attribution.ts';
import type { OwnerLook } from '../state/source-names.ts';
import { CAUSE_SHAPES } from './cause-shape.ts';
import type { Palette } from './palette.ts';

const PATHS = new Map<string, Path2D>();

function pathOf(path: string): Path2D {
  let made = PATHS.get(path);
  if (made === undefined) PATHS.set(path, (made = new Path2D(path)));
  return made;
}

/** Paints a mark of cause with its centre at (x, y). */
export function paintCause(
  ctx: CanvasRenderingContext2D,
  palette: Palette,
  cause: Cause,
  owners: readonly (OwnerLook | undefined)[],
  x: number,
  y: number,
  radius: number,
): void {
  const scale = radius / 5;
  ctx.save();
  ctx.translate(x, y);
  ctx.scale(scale, scale);
  ctx.strokeStyle = palette.ink;
  for (const piece of CAUSE_SHAPES[cause]) {
    const path = pathOf(piece.path);
    if (piece.fill !== 'none') {
      const isOwner = piece.fill === 0 || piece.fill === 1;
      const owner = isOwner ? owners[piece.fill] : undefined;
      ctx.fillStyle = isOwner
        ? owner === undefined || owner.tint === null
          ? palette.paper
          : palette.tint(owner)
        : piece.fill === 'ink'
          ? palette.ink
          : palette.paper;
      ctx.fill(path);
    }
    if (piece.edge > 0) {
      ctx.lineWidth = piece.edge / scale;
      ctx.stroke(path);
    }
  }
  ctx.restore();
}
