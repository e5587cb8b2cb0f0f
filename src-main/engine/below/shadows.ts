import type { CombBelow } from '../../model/comb-below.ts';
import { limitText, NO_ESTIMATE } from './say-stack.ts';
import type { StackLaw } from './stack-law.ts';

/** Ratios of fundamentals up to this many to as many share teeth enough for one comb to pass for the other. */
const SIMPLE_RATIO = 6;

/** Of searched combs that share their teeth only the better-supported one is said; the others may be its shadow. */
export function withoutShadows(stacked: readonly CombBelow[], law: StackLaw): CombBelow[] {
  const order = stacked.filter((one) => one.meanOverFloorDb !== null).sort((a, b) => a.chance - b.chance);
  const kept: CombBelow[] = [];
  const shadowOf = new Map<CombBelow, CombBelow>();
  for (const one of order) {
    const truer = kept.find((other) => sharesTeeth(one, other));
    if (truer === undefined) kept.push(one);
    else shadowOf.set(one, truer);
  }
  return stacked.map((one) => {
    const truer = shadowOf.get(one);
    if (truer === undefined) return one;
    return {
      ...one,
      fundamentalHz: null,
      fundamentalSigmaHz: null,
      couldAlsoBe: [],
      ...NO_ESTIMATE,
      why: `What stacks there are harmonics of the comb found for ${truer.source}, which is better supported; wherever in its tolerance it runs, ${limitText(one.upperLimitOverFloorDb!, law)}.`,
    };
  });
}

function sharesTeeth(one: CombBelow, other: CombBelow): boolean {
  // entries that one and the same comb could belong to are both named
  if (one.couldAlsoBe.includes(other.source ?? '')) return false;
  const ratio = one.fundamentalHz! / other.fundamentalHz!;
  const share =
    5 * Math.hypot(one.fundamentalSigmaHz! / one.fundamentalHz!, other.fundamentalSigmaHz! / other.fundamentalHz!);
  for (let q = 1; q <= SIMPLE_RATIO; q++) {
    const p = Math.round(ratio * q);
    if (p >= 1 && p <= SIMPLE_RATIO && Math.abs((ratio * q) / p - 1) <= Math.max(share, 1e-4)) return true;
  }
  return false;
}
