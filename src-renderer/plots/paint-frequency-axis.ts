import type { FrequencyAxis } from './axis-ticks.ts';
import type { BandChannels } from './channels.ts';
import type { Palette } from './palette.ts';
import type { Scales } from './trace-plot-scales.ts';

/** The ribbon of channels, filled where one is lost, and the ticks of the axis under it; `ribbon` is its height in CSS pixels. */
export function paintFrequencyAxis(
  ctx: CanvasRenderingContext2D,
  palette: Palette,
  scales: Scales,
  axis: FrequencyAxis,
  channels: readonly BandChannels[],
  ribbon: number,
): void {
  const { k } = palette;
  const cut = (x: number): number => Math.min(scales.width, Math.max(0, x));
  const [top, height] = [4 * k, ribbon - 7 * k];
  ctx.lineWidth = 1;
  for (const { originHz, channelHz, count, lost } of channels) {
    const [x0, x1] = [cut(scales.x(originHz)), cut(scales.x(originHz + count * channelHz))];
    if (x1 <= x0 + 1) continue;
    ctx.fillStyle = palette.paper;
    ctx.fillRect(x0 + 0.5, top, x1 - x0 - 1, height);
    ctx.strokeStyle = palette.ink;
    ctx.strokeRect(x0 + 0.5, top, x1 - x0 - 1, height);
    ctx.fillStyle = palette.ink;
    ctx.beginPath();
    for (const index of lost) {
      const a = cut(scales.x(originHz + index * channelHz));
      const b = cut(scales.x(originHz + (index + 1) * channelHz));
      if (b > a) ctx.rect(a, top, Math.max(1.6, b - a), height);
    }
    ctx.fill();
  }
  ctx.strokeStyle = palette.edge;
  ctx.fillStyle = palette.ink2;
  ctx.font = palette.font(11);
  ctx.textAlign = 'center';
  ctx.beginPath();
  for (const tick of axis.ticks) {
    const x = scales.x(tick.at);
    ctx.moveTo(x, ribbon);
    ctx.lineTo(x, ribbon + (tick.label === null ? 3 : 6) * k);
    if (tick.label !== null && x > 22 * k && x < scales.width - 22 * k)
      ctx.fillText(`${tick.label} ${(tick.unit ?? axis.unit).name}`, x, ribbon + 17 * k);
  }
  ctx.stroke();
}
