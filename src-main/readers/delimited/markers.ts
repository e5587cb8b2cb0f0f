import type { Trace } from '../../model/trace.ts';
import { frequencyFactor, parseLevelUnit } from '../../units/parse-unit.ts';
import { numberWithUnit, plainText, type Line } from './cells.ts';

/** A marker's level may be this far from the trace's nearest point: markers interpolate and round. */
const BELIEVED_DIFFERENCE_DB = 1;
const MOST_MARKER_LINES = 40;

/**
 * A marker table states frequencies and levels of its own: unit and level must be those of the trace.
 *
 * Read are rows under a line that begins with “marker” and names a level, and single lines such as `Marker 1: 1.5 MHz, -30 dBm`.
 */
export function checkMarkers(trace: Trace, lines: readonly Line[]): string[] {
  const warnings: string[] = [];
  const isHead = (text: string): boolean =>
    /^\W*(?:marker|mkr)\b/i.test(text) && /ampl|level|y.?axis|value/i.test(text);
  const head = lines.findIndex(({ text }) => isHead(text));
  const rows = head < 0 ? [] : lines.slice(head + 1, head + 1 + MOST_MARKER_LINES);
  const until = rows.findIndex(({ text }) => !/\d/.test(text) || !/^\W*(?:m(?:ar)?ke?r?)?\s*\d/i.test(text));
  const single = lines.filter(({ text }, l) => l !== head && /^\W*(?:marker|mkr)\s*\d/i.test(text));
  for (const { text } of [...(until < 0 ? rows : rows.slice(0, until)), ...single].slice(0, MOST_MARKER_LINES))
    warnings.push(...checkOne(trace, text));
  return warnings;
}

function checkOne(trace: Trace, text: string): string[] {
  const cells = plainText(text.slice(0, 400))
    .split(/[,;\t]|:\s|\s{2,}|=/)
    .map((cell) => cell.trim().replace(/^"|"$/g, ''));
  const name = /\d+/.exec(cells[0]!)?.[0] ?? '';
  let markerHz: number | null = null;
  for (const cell of cells) {
    const read = numberWithUnit(cell.replace(/^(?:at|@)\s*/i, ''));
    if (read === null || read.unit === '') continue;
    const factor = frequencyFactor(read.unit);
    if (factor !== null) {
      markerHz ??= read.value * factor;
      continue;
    }
    const unit = parseLevelUnit(read.unit);
    if (unit === null || markerHz === null) continue;
    if (trace.unit.name !== 'unknown' && unit.name !== trace.unit.name)
      return [`Marker ${name} is in ${unit.name}, the trace in ${trace.unit.name}.`];
    if (unit.scale !== 'decibel') return [];
    const level = nearestLevel(trace, markerHz, read.value);
    if (level === null) return [`Marker ${name} stands at ${markerHz} Hz, where the trace has nothing.`];
    return Math.abs(level - read.value) > BELIEVED_DIFFERENCE_DB
      ? [`Marker ${name} states ${read.value} ${unit.name} at ${markerHz} Hz, the trace has ${level.toFixed(2)} there.`]
      : [];
  }
  return [];
}

/** The trace's level nearest to the stated one, one point on either side of the marker: its frequency is rounded. */
function nearestLevel({ frequencyHz, level }: Trace, markerHz: number, statedLevel: number): number | null {
  const n = frequencyHz.length;
  const step = (frequencyHz[n - 1]! - frequencyHz[0]!) / (n - 1);
  if (markerHz < frequencyHz[0]! - step || markerHz > frequencyHz[n - 1]! + step) return null;
  let best = 0;
  for (let i = 1; i < n; i++)
    if (Math.abs(frequencyHz[i]! - markerHz) < Math.abs(frequencyHz[best]! - markerHz)) best = i;
  let nearest: number | null = null;
  for (let i = Math.max(0, best - 1); i <= Math.min(n - 1, best + 1); i++)
    if (nearest === null || Math.abs(level[i]! - statedLevel) < Math.abs(nearest - statedLevel))
      nearest = Number.isNaN(level[i]!) ? nearest : level[i]!;
  return nearest;
}
