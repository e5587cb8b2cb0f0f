import type { CombBelow } from '../../model/comb-below.ts';
import type { Floor } from '../../model/floor.ts';
import type { Source } from '../../model/source.ts';
import type { Stack } from './stack.ts';
import type { StackLaw } from './stack-law.ts';

const DB = 10 / Math.LN10;

export type Stated = Pick<CombBelow, 'source' | 'couldAlsoBe' | 'trials'>;

export const NO_ESTIMATE = { meanOverFloorDb: null, sigmaDb: null } as const;

export function estimateOf({ signal, signalSigma }: Stack, floor: Floor) {
  return { meanOverFloorDb: decibels(signal), sigmaDb: Math.hypot((DB * signalSigma) / signal, floor.sigmaDb) };
}

export function estimateText({ signal, signalSigma }: Stack, law: StackLaw): string {
  const text = `lines of ${decibels(signal).toFixed(1)} ± ${((DB * signalSigma) / signal).toFixed(1)} dB over the floor in the mean`;
  return law.isLinear ? text : `${text}, if they are alike`;
}

/** What a limit bounds: the mean power where powers were averaged; else the power of lines that are alike, for strong ones among weak count for less there. */
export function limitText(upperDb: number, law: StackLaw): string {
  const below = `below ${upperDb.toFixed(1)} dB over the floor (95 %)`;
  return law.isLinear
    ? `the mean line lies ${below}`
    : `if its lines are alike they lie ${below}; the mean of unequal ones may be higher`;
}

export function plain(source: Source): Stated {
  return { source: source.designator, couldAlsoBe: [], trials: 0 };
}

export function nothing(stated: Stated, why: string): CombBelow {
  return {
    ...stated,
    fundamentalHz: null,
    fundamentalSigmaHz: null,
    harmonicsStacked: 0,
    ...NO_ESTIMATE,
    upperLimitOverFloorDb: null,
    chance: 1,
    why,
  };
}

export function decibels(ratio: number): number {
  return 10 * Math.log10(Math.max(ratio, 1e-6));
}

export function harmonicsText(count: number): string {
  return count === 1 ? 'One harmonic' : `${count} harmonics`;
}
