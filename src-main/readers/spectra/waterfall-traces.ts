import { UNKNOWN_SETTINGS, type CaptureSettings } from '../../model/capture.ts';
import type { Trace } from '../../model/trace.ts';
import type { Waterfall } from '../../model/waterfall.ts';

/**
 * Two traces that stand for a waterfall: the mean of all rows, and the last row.
 *
 * The mean is one of power: decibels are turned into power first, amplitudes squared. Where the unit is unknown the numbers
 * themselves are averaged, since nobody knows what their power is. Points without a value are passed over. How many sweeps each row
 * holds nobody says, so the number of averages stays unknown.
 */
export function waterfallTraces(waterfall: Waterfall, settings: CaptureSettings = UNKNOWN_SETTINGS): Trace[] {
  const { frequencyHz, rows, level, unit } = waterfall;
  const n = frequencyHz.length;
  const known = unit.name !== 'unknown';
  const toPower = !known ? null : unit.scale === 'decibel' ? fromDecibel : unit.scale === 'amplitude' ? square : null;
  const back = !known ? null : unit.scale === 'decibel' ? toDecibel : unit.scale === 'amplitude' ? Math.sqrt : null;
  const sum = new Float64Array(n);
  const counted = new Uint32Array(n);
  for (let r = 0, k = 0; r < rows; r++)
    for (let i = 0; i < n; i++, k++) {
      const value = level[k]!;
      if (Number.isNaN(value)) continue;
      sum[i] = sum[i]! + (toPower === null ? value : toPower(value));
      counted[i] = counted[i]! + 1;
    }
  for (let i = 0; i < n; i++) {
    const mean = counted[i] === 0 ? NaN : sum[i]! / counted[i]!;
    sum[i] = back === null ? mean : back(mean);
    if (!Number.isFinite(sum[i]!)) sum[i] = NaN;
  }
  const name = (what: string): string => (waterfall.label === '' ? what : `${what}, ${waterfall.label}`);
  const takenAt = settings.takenAt ?? waterfall.takenAt;
  const last = Float64Array.from(level.subarray((rows - 1) * n, rows * n));
  if (rows === 1)
    return [{ label: waterfall.label, frequencyHz, level: last, unit, settings: { ...settings, takenAt } }];
  return [
    {
      label: name(`mean of ${rows} rows`),
      frequencyHz,
      level: sum,
      unit,
      settings: { ...settings, averaging: known ? 'power' : 'unknown', takenAt },
    },
    { label: name('last row'), frequencyHz, level: last, unit, settings: { ...settings, takenAt } },
  ];
}

const fromDecibel = (db: number): number => 10 ** (db / 10);
const toDecibel = (power: number): number => 10 * Math.log10(power);
const square = (value: number): number => value * value;
