/** A rectangle on the desktop, in device-independent pixels. */
export interface Bounds {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export const SMALLEST = { width: 1100, height: 700 } as const;
const USUAL = { width: 1440, height: 900 } as const;
/** A new window beside another lies this far from it. */
const STEP = 32;

/**
 * Where a window that was left somewhere is put now: wholly within the work area it overlaps most, since a display may be gone or smaller
 * than it was. With nothing kept, in the middle of the first area.
 *
 * @param areas work areas of the displays, the primary one first
 */
export function boundsWithin(kept: Bounds | null, areas: readonly Bounds[]): Bounds {
  const first = areas[0] ?? { x: 0, y: 0, ...USUAL };
  const area =
    kept === null ? first : areas.reduce((best, one) => (overlap(kept, one) > overlap(kept, best) ? one : best), first);
  const width = sizeWithin(kept?.width ?? USUAL.width, SMALLEST.width, area.width);
  const height = sizeWithin(kept?.height ?? USUAL.height, SMALLEST.height, area.height);
  const x = kept?.x ?? area.x + Math.round((area.width - width) / 2);
  const y = kept?.y ?? area.y + Math.round((area.height - height) / 2);
  return {
    x: Math.min(Math.max(x, area.x), area.x + Math.max(0, area.width - width)),
    y: Math.min(Math.max(y, area.y), area.y + Math.max(0, area.height - height)),
    width,
    height,
  };
}

/** Where a further window is put: a step beside the one it was opened from. */
export function besideOf({ x, y, width, height }: Bounds): Bounds {
  return { x: x + STEP, y: y + STEP, width, height };
}

function sizeWithin(wanted: number, least: number, most: number): number {
  return Math.min(Math.max(Math.round(wanted), least), Math.max(most, least));
}

function overlap(a: Bounds, b: Bounds): number {
  const width = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const height = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return Math.max(0, width) * Math.max(0, height);
}
