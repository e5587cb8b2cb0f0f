import type { Trace } from '../../model/trace.ts';
import { frequencyFactor, parseLevelUnit } from '../../units/parse-unit.ts';
import { numberWithUnit, type Preamble } from './preamble.ts';

/** What a file states about a trace against what its numbers are. Each disagreement is one sentence. */
export function checkTrace(trace: Trace, preamble: Preamble, lines: readonly { text: string }[]): string[] {
  const { frequencyHz } = trace;
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
    warnings.push(`The file states ${preamble.points} points, its table has ${n}.`);

  let uneven = 0;
  for (let i = 1; i < n; i++) uneven = Math.max(uneven, Math.abs(frequencyHz[i]! - frequencyHz[i - 1]! - step));
  if (uneven > 0.01 * step && uneven < 0.9 * step)
    warnings.push(
      `The frequency steps differ by up to ${((100 * uneven) / step).toFixed(0)} % of a step: rounded in the file, or not evenly spaced.`,
    );

  let blanks = 0;
  for (const v of trace.level) if (Number.isNaN(v)) blanks++;
  if (blanks > 0 && blanks < n) warnings.push(`${blanks} of ${n} points have no level.`);
  warnings.push(...checkMarkers(trace, lines));
  return warnings;
}

/** A marker table states frequencies and levels of its own: they must be found in the trace. */
function checkMarkers(trace: Trace, lines: readonly { text: string }[]): string[] {
  const warnings: string[] = [];
  const at = lines.findIndex(
    ({ text }) => /^\W*marker\b/i.test(text) && /ampl|level|y.?axis/i.test(text) && /freq|x.?axis/i.test(text),
  );
  if (at < 0) return warnings;
  for (let l = at + 1; l < lines.length; l++) {
    const cells = lines[l]!.text.split(/[,;\t]/).map((cell) => cell.trim());
    if (cells.every((cell) => cell === '')) break;
    let markerHz: number | null = null;
    for (const [c, cell] of cells.entries()) {
      const read = numberWithUnit(cell, undefined);
      if (read === null || read.unit === '') continue;
      const factor = frequencyFactor(read.unit);
      if (factor !== null) markerHz = read.value * factor;
      const unit = parseLevelUnit(read.unit);
      if (unit === null || markerHz === null || c === 0) continue;
      const name = `Marker ${cells[0]!}`;
      if (trace.unit.name !== 'unknown' && unit.name !== trace.unit.name) {
        warnings.push(`${name} is in ${unit.name}, the trace in ${trace.unit.name}.`);
        continue;
      }
      const level = nearestLevel(trace, markerHz);
      if (level !== null && Math.abs(level - read.value) > 1)
        warnings.push(
          `${name} states ${read.value} ${unit.name} at ${markerHz} Hz, the trace has ${level.toFixed(2)} there.`,
        );
    }
  }
  return warnings;
}

/** The level nearest to a stated one within one point on either side of a frequency (a marker's frequency is rounded). */
function nearestLevel(trace: Trace, frequencyHz: number): number | null {
  const { frequencyHz: axis, level } = trace;
  if (frequencyHz < axis[0]! || frequencyHz > axis[axis.length - 1]!) return null;
  let best = 0;
  for (let i = 1; i < axis.length; i++)
    if (Math.abs(axis[i]! - frequencyHz) < Math.abs(axis[best]! - frequencyHz)) best = i;
  const value = level[best]!;
  return Number.isNaN(value) ? null : value;
}
