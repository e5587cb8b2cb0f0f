import type { Peak } from './pick-peaks.ts';

/**
 * Peaks side by side, closer than lines can well be told apart, alike in height and parted by dents no deeper than noise makes,
 * are one hump with a rough top.
 */
export function joinHumps(
  peaks: readonly Peak[],
  ratio: Float64Array,
  rbwHz: number,
  frequencyHz: Float64Array,
  dent: number,
): Peak[] {
  const out: Peak[] = [];
  let group: Peak[] = [];
  const flush = (): void => {
    if (group.length >= 3) {
      const peak = group.reduce((a, b) => (ratio[b.peak]! > ratio[a.peak]! ? b : a)).peak;
      out.push({ peak, first: group[0]!.first, last: group[group.length - 1]!.last, crowded: false });
    } else out.push(...group);
    group = [];
  };
  for (const peak of peaks) {
    const previous = group[group.length - 1];
    if (previous !== undefined) {
      const apart = frequencyHz[peak.peak]! - frequencyHz[previous.peak]!;
      const saddle = Math.min(ratio[peak.first]!, ratio[previous.last]!);
      const lesser = Math.min(ratio[peak.peak]!, ratio[previous.peak]!);
      const greater = Math.max(ratio[peak.peak]!, ratio[previous.peak]!);
      const shallow = saddle > lesser * dent && saddle > 2 && lesser > 0.2 * greater;
      if (!(peak.first <= previous.last + 1 && apart < 3 * rbwHz && shallow)) flush();
    }
    group.push(peak);
  }
  flush();
  return out;
}
