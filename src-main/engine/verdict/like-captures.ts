import type { VerdictSettings } from '../../model/verdict-settings.ts';
import { formatDecimal } from '../../units/format.ts';
import { NO_POINT } from './coverage-matrix.ts';
import { sameWord } from './dispositions.ts';
import { showsItem, type Reading } from './judged-capture.ts';

/** A set of captures that may be held against each other: one point, mode, load, temperature and way of taking. */
export interface LikeSet {
  readonly readings: readonly Reading[];
  readonly point: string;
  readonly mode: string | null;
  readonly temperature: { readonly lowC: number; readonly highC: number } | null;
  /** RBW, detector and averaging in words. */
  readonly settings: string;
}

/**
 * Parts captures of the item into sets that compare like with like: same point, mode, load, sources switched off and attenuation, same detector and
 * averaging, RBW within a ratio, temperature without a gap wider than the setting. The set with most states first.
 */
export function likeSets(readings: readonly Reading[], settings: VerdictSettings): LikeSet[] {
  const sets: Reading[][] = [];
  const ordered = readings
    .filter(({ capture }) => showsItem(capture))
    .toSorted((a, b) => temperatureOf(a) - temperatureOf(b) || a.capture.captureId - b.capture.captureId);
  for (const reading of ordered) {
    // sorted by temperature, so the last of a set is the nearest
    const home = sets.find((set) => unlikeWhy(set.at(-1)!, reading, settings) === null);
    if (home === undefined) sets.push([reading]);
    else home.push(reading);
  }
  return sets
    .map((set): LikeSet => {
      const byId = set.toSorted((a, b) => a.capture.captureId - b.capture.captureId);
      const [first] = byId;
      return {
        readings: byId,
        point: first!.capture.point?.name ?? NO_POINT,
        mode: first!.capture.triaged.condition?.mode ?? null,
        temperature: rangeOf(byId),
        settings: settingsText(first!),
      };
    })
    .sort((a, b) => statesOf(b) - statesOf(a) || b.readings.length - a.readings.length);
}

export function statesOf({ readings }: LikeSet): number {
  return new Set(readings.map(({ capture }) => capture.stateId)).size;
}

/** Why two captures must not be held against each other; null where they may. */
export function unlikeWhy(a: Reading, b: Reading, settings: VerdictSettings): string | null {
  const [left, right] = [a.capture.triaged.condition, b.capture.triaged.condition];
  if ((a.capture.point?.name ?? NO_POINT) !== (b.capture.point?.name ?? NO_POINT)) return 'another measuring point';
  if (!sameOrBothSilent(left?.mode ?? null, right?.mode ?? null)) return 'another mode';
  if (!sameOrBothSilent(left?.load ?? null, right?.load ?? null)) return 'another load';
  if (offList(a) !== offList(b)) return 'other sources switched off';
  if (a.taken.detector !== b.taken.detector) return `another detector (${b.taken.detector})`;
  if (a.taken.averaging !== b.taken.averaging) return `another averaging (${b.taken.averaging})`;
  if (a.taken.attenuationDb !== b.taken.attenuationDb) return 'another attenuation';
  if (a.isRbwStated !== b.isRbwStated) return 'an RBW that nobody stated';
  const ratio = Math.max(a.rbwHz / b.rbwHz, b.rbwHz / a.rbwHz);
  if (a.isRbwStated && ratio > settings.likeRbwRatio)
    return `another RBW (${formatDecimal(b.taken.rbwHz ?? b.rbwHz)} Hz)`;
  const [warm, cold] = [left?.temperatureC ?? null, right?.temperatureC ?? null];
  if ((warm === null) !== (cold === null)) return 'a temperature that nobody stated';
  if (warm !== null && cold !== null && Math.abs(warm - cold) > settings.likeTemperatureK)
    return `another temperature (${formatDecimal(cold)} °C)`;
  return null;
}

function sameOrBothSilent(a: string | null, b: string | null): boolean {
  return a === null || b === null ? a === b : sameWord(a, b);
}

function offList({ capture }: Reading): string {
  return [...(capture.triaged.condition?.sourcesOff ?? [])].sort().join(' ');
}

function temperatureOf({ capture }: Reading): number {
  return capture.triaged.condition?.temperatureC ?? -Infinity;
}

function rangeOf(readings: readonly Reading[]): LikeSet['temperature'] {
  const stated = readings.map(temperatureOf).filter((value) => Number.isFinite(value));
  return stated.length === 0 ? null : { lowC: Math.min(...stated), highC: Math.max(...stated) };
}

function settingsText({ taken, isRbwStated }: Reading): string {
  const rbw = isRbwStated ? `RBW ${formatDecimal(taken.rbwHz!)} Hz` : 'RBW not stated';
  const averages = taken.averages === null ? '' : `${taken.averages} × `;
  return `${rbw}, detector ${taken.detector}, averaging ${averages}${taken.averaging}`;
}
