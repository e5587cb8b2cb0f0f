import type { LimitLine } from './limit-line.ts';

/** What is wrong with a limit line: which stretch (counted from 0; null: the line as a whole), what stands there, what is expected. */
export interface LimitProblem {
  readonly stretch: number | null;
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

/**
 * The first thing wrong with a line, or null: no name, no decibel unit, no stretch, a reversed or empty stretch, frequencies or levels
 * that are no numbers, stretches out of order. Overlaps are allowed: the lower limit holds there.
 */
export function checkLimitLine(line: LimitLine): LimitProblem | null {
  const whole = (found: string, expected: string, wayOut: string): LimitProblem => ({
    stretch: null,
    found,
    expected,
    wayOut,
  });
  if (line.name.trim() === '') return whole('no name', 'a name', 'Name the line.');
  if (!/^dB/.test(line.unit))
    return whole(
      line.unit === '' ? 'no unit' : `the unit “${line.unit}”`,
      'a decibel unit such as dBm, dBµV or dBµV/m',
      'Give the levels in decibels, as limits are drawn.',
    );
  if (line.stretches.length === 0) return whole('no stretch', 'at least one', 'Enter where the limit holds.');
  for (const [stretch, { lowHz, highHz, lowLevel, highLevel }] of line.stretches.entries()) {
    const at = (found: string, expected: string, wayOut: string): LimitProblem => ({
      stretch,
      found,
      expected,
      wayOut,
    });
    if (!(lowHz > 0 && Number.isFinite(highHz)))
      return at(
        `${lowHz} … ${highHz} Hz`,
        'frequencies above 0',
        'The line is straight over the logarithm of frequency.',
      );
    if (lowHz === highHz)
      return at(`${lowHz} Hz twice`, 'a stretch from a lower to a higher frequency', 'Give the step as two stretches.');
    if (lowHz > highHz) return at(`${lowHz} … ${highHz} Hz`, 'a range from low to high', 'Exchange the two ends.');
    if (!Number.isFinite(lowLevel) || !Number.isFinite(highLevel))
      return at(`the levels ${lowLevel} and ${highLevel}`, 'numbers', 'Leave the stretch out where there is no limit.');
    if (stretch > 0 && line.stretches[stretch - 1]!.lowHz > lowHz)
      return at(
        `${lowHz} Hz after ${line.stretches[stretch - 1]!.lowHz} Hz`,
        'ascending frequencies',
        'Sort the stretches.',
      );
  }
  return null;
}
