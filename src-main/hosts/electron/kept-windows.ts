import { readFileSync, writeFileSync } from 'node:fs';
import type { Bounds } from './window-bounds.ts';

/** A window as it was left. */
export interface KeptWindow {
  readonly bounds: Bounds;
  readonly isMaximized: boolean;
  /** Path of the register it showed. */
  readonly register: string;
}

/** The windows that were open when the program ended; none where the file is missing or damaged. */
export function readWindows(path: string): readonly KeptWindow[] {
  try {
    const kept: unknown = JSON.parse(readFileSync(path, 'utf8'));
    return Array.isArray(kept) ? kept.filter(isKeptWindow) : [];
  } catch {
    return [];
  }
}

/** A list that cannot be kept is no reason to keep a window from closing. */
export function writeWindows(path: string, windows: readonly KeptWindow[]): void {
  try {
    writeFileSync(path, JSON.stringify(windows));
  } catch {
    return;
  }
}

function isKeptWindow(value: unknown): value is KeptWindow {
  if (typeof value !== 'object' || value === null) return false;
  const { bounds, isMaximized, register } = value as Partial<KeptWindow>;
  return (
    typeof register === 'string' &&
    typeof isMaximized === 'boolean' &&
    typeof bounds === 'object' &&
    [bounds?.x, bounds?.y, bounds?.width, bounds?.height].every(Number.isFinite)
  );
}
