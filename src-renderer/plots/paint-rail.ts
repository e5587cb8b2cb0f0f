import type { TraceColumns } from '../../src-main/api/contract.ts';
import { markY } from './paint-spectrum.ts';
import type { Palette } from './palette.ts';
import type { RailSlot } from './rail-slots.ts';
import type { Scales } from './trace-plot-scales.ts';

type Context = CanvasRenderingContext2D;

/** Number and tag of the one spur that each slot names; `height` of the rail in CSS pixels. */
export function paintRailWords(
  ctx: Context,
  palette: Palette,
  slots: readonly RailSlot[],
  height: number,
  chosen: number | null,
): void {
  const { k } = palette;
  for (const slot of slots) {
    const isChosen = slot.row.index === chosen;
    const hasMore = slot.more > 0;
    if (isChosen) {
      const box = [slot.centre - slot.width / 2 + 3, height - 31 * k, slot.width - 6, 29 * k] as const;
      ctx.fillStyle = palette.penWash;
      ctx.fillRect(...box);
      ctx.strokeStyle = palette.ink;
      ctx.lineWidth = 1.4;
      ctx.strokeRect(...box);
    }
    ctx.textAlign = 'center';
    ctx.font = palette.font(11, 700);
    ctx.fillStyle = palette.ink;
    ctx.fillText(String(slot.row.number), slot.centre - (isChosen && hasMore ? 7 * k : 0), height - 19 * k);
    ctx.font = palette.font(11);
    ctx.fillStyle = palette.ink2;
    ctx.fillText(slot.row.tag, slot.centre, height - 6 * k, slot.width - 4 * k);
    if (!hasMore) continue;
    ctx.textAlign = 'right';
    ctx.fillStyle = palette.ink3;
    ctx.fillText(`+${slot.more}`, slot.centre + slot.width / 2 - (isChosen ? 9 : 3) * k, height - 19 * k);
  }
}

/** Leaders from the words to the marks; `top` is the height of the rail where the rail itself is painted, 0 where the spectrum is. */
export function paintLeaders(
  ctx: Context,
  palette: Palette,
  scales: Scales,
  slots: readonly RailSlot[],
  columns: TraceColumns | null,
  top: number,
  chosen: number | null,
): void {
  const { k } = palette;
  const add = ({ centre, row }: RailSlot): void => {
    const x = scales.x(row.spur.frequencyHz);
    ctx.moveTo(centre, top - 2 * k);
    ctx.lineTo(x, top + 9 * k);
    ctx.lineTo(x, top + markY(scales, row, k, columns) - 7 * k);
  };
  ctx.beginPath();
  for (const slot of slots) if (slot.row.index !== chosen) add(slot);
  ctx.strokeStyle = palette.edge;
  ctx.lineWidth = 0.8;
  ctx.globalAlpha = 0.6;
  ctx.stroke();
  ctx.globalAlpha = 1;
  ctx.beginPath();
  for (const slot of slots) if (slot.row.index === chosen) add(slot);
  ctx.strokeStyle = palette.ink;
  ctx.lineWidth = 1.6;
  ctx.stroke();
}
