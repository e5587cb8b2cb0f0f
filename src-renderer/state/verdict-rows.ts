import type { Requirement } from '../../src-main/model/requirement.ts';
import type { Verdict } from '../../src-main/model/verdict.ts';
import { decimal, PLUS_MINUS, signed } from './format.ts';

/** A requirement with its verdicts, each with its place in the judgement. */
export interface VerdictGroup {
  readonly requirementId: number;
  readonly code: string;
  readonly text: string;
  /** What is demanded, in words. */
  readonly demand: string;
  readonly verdicts: readonly { readonly index: number; readonly verdict: Verdict }[];
}

export function demandWords({ demand, limit }: Pick<Requirement, 'demand' | 'limit'>): string {
  const allowed = limit === null ? 'what each band allows' : `“${limit}”`;
  if (demand.kind === 'strongest-line') return `No line above ${allowed}`;
  const least =
    demand.as === 'share'
      ? `${decimal(100 * demand.atLeast, demand.atLeast * 1000 === Math.round(demand.atLeast * 1000) ? 0 : 1)} in 100 channels`
      : `${decimal(demand.atLeast)} channels`;
  return `At least ${least} clean, each against ${allowed}`;
}

/** Verdicts under their requirement, in the judgement's order. */
export function verdictGroups(
  verdicts: readonly Verdict[],
  requirements: readonly Requirement[],
): readonly VerdictGroup[] {
  const groups = new Map<number, { index: number; verdict: Verdict }[]>();
  verdicts.forEach((verdict, index) => {
    const group = groups.get(verdict.requirementId) ?? [];
    group.push({ index, verdict });
    groups.set(verdict.requirementId, group);
  });
  return [...groups].map(([requirementId, members]) => {
    const requirement = requirements.find(({ id }) => id === requirementId);
    return {
      requirementId,
      code: members[0]!.verdict.code,
      text: requirement?.text ?? '',
      demand: requirement === undefined ? '' : demandWords(requirement),
      verdicts: members,
    };
  });
}

export interface VerdictFigures {
  readonly found: string;
  readonly doubt: string;
  readonly allowed: string;
  readonly margin: string;
}

/** What a verdict's columns print. What was not found is not blank: the strongest line that could have been missed stands there as ≤. */
export function verdictFigures(verdict: Verdict): VerdictFigures {
  const { unit, found, foundHigh, allowed, margin } = verdict;
  const places = unit === 'channels' ? 0 : 1;
  return {
    found:
      found !== null ? decimal(found, places) : foundHigh !== null ? `\u2264 ${decimal(foundHigh, places)}` : 'nothing',
    doubt: doubtWords(verdict, places),
    allowed: allowed === null ? '\u2013' : decimal(allowed, places),
    margin: margin === null ? '' : signed(margin, places),
  };
}

/** `± 3.0`, or both ends where they lie unequally far off: `49 … 76`. */
function doubtWords({ found, foundLow, foundHigh }: Verdict, places: number): string {
  if (found === null || foundLow === null || foundHigh === null) return '';
  const [below, above] = [decimal(found - foundLow, places), decimal(foundHigh - found, places)];
  return below === above
    ? `${PLUS_MINUS} ${above}`
    : `${decimal(foundLow, places)} \u2026 ${decimal(foundHigh, places)}`;
}

/** Where best and bounds stand against the requirement, −1 (short) … 1 (to spare) of the scale's reach; null where nothing is to be drawn. */
export function scaleOf(
  { unit, found, foundLow, foundHigh, allowed }: Verdict,
  reach: number,
): { readonly low: number; readonly best: number | null; readonly high: number } | null {
  if (allowed === null || foundHigh === null) return null;
  const clip = (value: number) => Math.min(1, Math.max(-1, value / reach));
  // more channels are to spare, more level is short
  const spare = (value: number) => clip(unit === 'channels' ? value - allowed : allowed - value);
  const best = found === null ? null : spare(found);
  const ends = [spare(foundLow ?? foundHigh), spare(foundHigh)].sort((a, b) => a - b) as [number, number];
  return { low: found === null ? ends[0] : ends[0], best, high: found === null ? 1 : ends[1] };
}

/** Reach of the scales: wide enough for most verdicts of a kind; farther ones stand at the end. */
export function scaleReach(verdicts: readonly Verdict[], isCount: boolean): number {
  const sizes = verdicts
    .filter(({ unit, margin }) => (unit === 'channels') === isCount && margin !== null)
    .map(({ margin }) => Math.abs(margin!));
  return Math.max(isCount ? 10 : 10, ...sizes) * 1.3;
}

/** `while sounding, 15 to 30 °C, receiver port` as far as a verdict names them. */
export function conditionWords({ mode, temperature, point }: Verdict): string {
  return [mode, temperature === null ? null : `${decimal(temperature.lowC)} to ${decimal(temperature.highC)} °C`, point]
    .filter((part) => part !== null)
    .join(', ');
}
