import type { Trace } from '../../model/trace.ts';
import type { Line } from './cells.ts';
import { checkMarkers } from './markers.ts';
import type { Preamble } from './preamble.ts';

/** Steps may differ by this share of a step before it is worth a word. */
const EVEN_STEPS = 0.01;
const FEW_POINTS = 10;

/** What a file states about a trace against what its numbers are. Each disagreement is one sentence. */
export function checkTrace(trace: Trace, preamble: Preamble, lines: readonly Line[]): string[] {
  const { frequencyHz, level, settings } = trace;
  const n = frequencyHz.length;
  const warnings: string[] = [];
  const first = frequencyHz[0]!;
  const last = frequencyHz[n - 1]!;
  const step = (last - first) / (n - 1);
  for (const [name, stated, real] of [
    ['start', preamble.startHz, first],
    ['stop', preamble.stopHz, last],
  ] as const)
    if (stated !== null && Math.abs(stated - real) > Math.max(1.01 * step, 1e-6 * Math.abs(real)))
      warnings.push(
        `The file states ${stated} Hz as ${name} frequency, its table ${name === 'start' ? 'begins' : 'ends'} at ${real} Hz; the table is used.`,
      );
  if (preamble.points !== null && preamble.points !== n)
    warnings.push(
      `The file states ${preamble.points} points, its table has ${n}${n < preamble.points ? ': it may be cut off' : ''}.`,
    );

  if (n < FEW_POINTS) warnings.push(`Only ${n} points: hardly a spectrum.`);

  let uneven = 0;
  for (let i = 1; i < n; i++) {
    const off = Math.abs(frequencyHz[i]! - frequencyHz[i - 1]! - step);
    if (off > uneven) uneven = off;
  }
  if (uneven > EVEN_STEPS * step && uneven < 0.9 * step)
    warnings.push(
      `The frequency steps differ by up to ${((100 * uneven) / step).toFixed(0)} % of a step: rounded in the file, or not evenly spaced.`,
    );
  if (settings.rbwHz !== null && settings.rbwHz > last - first)
    warnings.push(
      `The stated RBW (${settings.rbwHz} Hz) is wider than the whole axis (${last - first} Hz): one of them has the wrong unit.`,
    );

  let blanks = 0;
  for (let i = 0; i < n; i++) if (Number.isNaN(level[i]!)) blanks++;
  if (blanks > 0 && blanks < n) warnings.push(`${blanks} of ${n} points have no level.`);
  return [...warnings, ...checkMarkers(trace, lines)];
}
