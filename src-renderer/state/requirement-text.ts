import type { TemperatureRange } from '../../src-main/model/requirement.ts';
import { decimal } from './format.ts';

/** `15…30, −45…−35` as ranges; null where a part is no range from low to high. Dots, a dash between blanks, or "to" part the ends. */
export function parseRanges(text: string): readonly TemperatureRange[] | null {
  const ranges: TemperatureRange[] = [];
  for (const part of splitList(text)) {
    const ends = /^([-\u2212]?\d+(?:\.\d+)?)\s*(?:\u2026|\.{2,3}|to|\s[-\u2013]\s)\s*([-\u2212]?\d+(?:\.\d+)?)$/.exec(
      part,
    );
    if (ends === null) return null;
    const [lowC, highC] = [ends[1]!, ends[2]!].map((one) => Number(one.replace('\u2212', '-'))) as [number, number];
    if (!(lowC <= highC)) return null;
    ranges.push({ lowC, highC });
  }
  return ranges;
}

export function rangesText(ranges: readonly TemperatureRange[]): string {
  return ranges.map(({ lowC, highC }) => `${plain(lowC)}\u2026${plain(highC)}`).join(', ');
}

function plain(value: number): string {
  return decimal(value, Number.isInteger(value) ? 0 : 1);
}

/** Names with commas between; blanks around them and empty parts go. */
export function splitList(text: string): string[] {
  return text
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '');
}
