import { recordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { DEFAULT_SPECTRUM_SETTINGS } from '../../model/spectrum-settings.ts';
import type { Waterfall } from '../../model/waterfall.ts';
import { readCapture } from '../../readers/read-capture.ts';
import type { RowsOverTime } from '../contract/reading-calls.ts';
import { bytesOf, samplesInMemory } from './spectra-of-recordings.ts';
import { thinRows } from './thin-rows.ts';

/** The waterfall that a file holds, or that its first recording gives, thinned to what a screen shows; null where it holds neither. */
export function rowsOverTime(
  {
    file,
    bytes,
    companions = new Map(),
    hints,
    rows,
    columns,
  }: {
    file: string;
    bytes: Uint8Array;
    companions?: ReadonlyMap<string, Uint8Array>;
    hints: ReadingHints | undefined;
    rows: number;
    columns: number;
  },
  onProgress: (fraction: number, step: string) => void,
): RowsOverTime | null {
  const read = readCapture(bytes, file, companions, hints);
  const recording = read.recordings?.[0];
  const waterfall: Waterfall | null =
    read.waterfalls?.[0] ??
    (recording === undefined
      ? null
      : recordSpectrum({
          recording,
          bytes: bytesOf(recording, samplesInMemory(bytes, companions), file),
          channel: 0,
          settings: DEFAULT_SPECTRUM_SETTINGS,
          waterfall: { rows, columns },
          file,
          onProgress,
        }).waterfall);
  if (waterfall === null) return null;
  const { rows: shown, ...thin } = thinRows(waterfall, { rows, columns });
  const { rowStartS } = waterfall;
  return {
    ...thin,
    rows: shown,
    label: waterfall.label,
    unit: waterfall.unit.name,
    rowsInFile: waterfall.rows,
    rowStartS:
      rowStartS === null
        ? null
        : Float64Array.from({ length: shown }, (_, r) => rowStartS[Math.ceil((r * waterfall.rows) / shown)]!),
  };
}
