import * as v from 'valibot';
import { readJsonFile, writeJsonFile } from '../../api/json-file.ts';
import type { Bounds } from './window-bounds.ts';

/** A window as it was left. */
export interface KeptWindow {
  readonly bounds: Bounds;
  readonly isMaximized: boolean;
  /** Path of the register it showed. */
  readonly register: string;
}

const place = v.pipe(v.number(), v.finite());
const keptWindow = v.object({
  bounds: v.object({ x: place, y: place, width: place, height: place }),
  isMaximized: v.boolean(),
  register: v.string(),
});

/** The windows that were open when the program ended, of which all is known; none where the file is missing or damaged. */
export function readWindows(path: string): readonly KeptWindow[] {
  return readJsonFile(path, v.array(v.unknown()), []).filter((kept) => v.is(keptWindow, kept));
}

/** A list that cannot be kept is no reason to keep a window from closing. */
export function writeWindows(path: string, windows: readonly KeptWindow[]): void {
  writeJsonFile(path, windows);
}
