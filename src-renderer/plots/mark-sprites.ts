import type { Cause } from '../../src-main/model/attribution.ts';
import type { OwnerLook } from '../state/source-names.ts';
import { paintCause } from './paint-cause.ts';
import type { Palette } from './palette.ts';

/** Marks of cause painted once and stamped many times: a stamp costs a tenth of the drawing. */
export class MarkSprites {
  readonly #palette: Palette;
  readonly #ratio: number;
  readonly #made = new Map<string, HTMLCanvasElement>();

  constructor(palette: Palette, ratio: number) {
    this.#palette = palette;
    this.#ratio = ratio;
  }

  stamp(
    ctx: CanvasRenderingContext2D,
    cause: Cause,
    owners: readonly (OwnerLook | undefined)[],
    x: number,
    y: number,
    radius: number,
  ): void {
    const key = `${cause} ${radius} ${owners.map((owner) => owner?.key ?? '').join('|')}`;
    // room for dots and overlapping discs beside the mark
    const half = Math.ceil(2.4 * radius) + 2;
    let sprite = this.#made.get(key);
    if (sprite === undefined) {
      sprite = document.createElement('canvas');
      sprite.width = sprite.height = Math.ceil(2 * half * this.#ratio);
      const own = sprite.getContext('2d')!;
      own.scale(this.#ratio, this.#ratio);
      paintCause(own, this.#palette, cause, owners, half, half, radius);
      this.#made.set(key, sprite);
    }
    ctx.drawImage(sprite, x - half, y - half, 2 * half, 2 * half);
  }
}
