import type { Source } from './source.ts';

/** All sources that go off when this one is switched off: those it feeds, and those they feed. Not itself. In the list's order. */
export function fedFrom(designator: string, sources: readonly Source[]): string[] {
  const off = new Set([designator]);
  for (let grown = true; grown;) {
    grown = false;
    for (const source of sources)
      if (source.fedBy !== null && off.has(source.fedBy) && !off.has(source.designator)) {
        off.add(source.designator);
        grown = true;
      }
  }
  off.delete(designator);
  return sources.filter((source) => off.has(source.designator)).map((source) => source.designator);
}

/** The sources that are off where these were switched off: they, and all that they feed. In the list's order. */
export function goingOff(designators: readonly string[], sources: readonly Source[]): string[] {
  const off = new Set(designators.flatMap((designator) => [designator, ...fedFrom(designator, sources)]));
  return sources.filter((source) => off.has(source.designator)).map((source) => source.designator);
}

/** All sources whose frequency is bound to this one, directly or through others. Not itself. In the list's order. */
export function clockedFrom(designator: string, sources: readonly Source[]): string[] {
  const bound = (source: Source): boolean =>
    lockChain(source, sources)
      .slice(1)
      .some((at) => at.designator === designator);
  return sources.filter((source) => source.designator !== designator && bound(source)).map((s) => s.designator);
}

/** A source, the one it is locked to, that one's, and so on; the last one runs freely. A circle ends where it closes. */
export function lockChain(source: Source, sources: readonly Source[]): Source[] {
  const chain: Source[] = [];
  for (let at: Source | undefined = source; at !== undefined && !chain.includes(at);) {
    chain.push(at);
    const to: string | undefined = at.lock?.to;
    at = to === undefined ? undefined : sources.find((entry) => entry.designator === to);
  }
  return chain;
}

/** Where a source's frequency comes from. */
export interface ResolvedFrequency {
  readonly frequencyHz: number;
  /** Designator of the free-running source at the end of the chain; its own where it is free. */
  readonly root: string;
  /** `frequencyHz` = the root's nominal × numerator / denominator, in lowest terms. */
  readonly numerator: number;
  readonly denominator: number;
}

/**
 * The frequency that a source's locks give it: the nominal of the source at the end of the chain times all ratios on the way.
 *
 * @returns null where the chain does not end: a circle, or a master that is not in the list
 */
export function resolvedFrequency(source: Source, sources: readonly Source[]): ResolvedFrequency | null {
  const chain = lockChain(source, sources);
  const root = chain.at(-1)!;
  if (root.lock !== null) return null;
  let [numerator, denominator] = [1, 1];
  for (const { lock } of chain) {
    if (lock === null) break;
    numerator *= lock.numerator;
    denominator *= lock.denominator;
    const common = greatestCommonDivisor(numerator, denominator);
    numerator /= common;
    denominator /= common;
  }
  return { frequencyHz: (root.nominalHz * numerator) / denominator, root: root.designator, numerator, denominator };
}

/** Whether the designer can choose another frequency for a source, and by which of the two ways, or why not. */
export type Changeability =
  { readonly can: true; readonly by: 'adjustment' | 'ratio' } | { readonly can: false; readonly why: string };

/**
 * Can this source's frequency be changed at all?
 *
 * A range to choose from answers yes. A locked source without one could still get another ratio, if it is ours. What belongs to the
 * host, the support equipment or the facility is not ours to change unless somebody entered a range for it.
 */
export function changeability(source: Source): Changeability {
  if (source.adjust !== null) return { can: true, by: 'adjustment' };
  if (source.owner !== 'ours')
    return { can: false, why: `it belongs to the ${OWNER_WORDS[source.owner]}; no range is entered for it` };
  if (source.lock !== null) return { can: true, by: 'ratio' };
  return { can: false, why: 'no range is entered for it' };
}

const OWNER_WORDS = { host: 'host vehicle', support: 'support equipment', facility: 'facility' } as const;

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
