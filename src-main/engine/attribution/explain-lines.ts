import type { Candidate, LineExplanation } from '../../model/attribution.ts';
import type { SearchContext } from './comb-support.ts';
import { claimLines, type LineClaim } from './line-claims.ts';
import type { AcceptedComb } from './selection.ts';
import type { SourceRange } from './source-scopes.ts';

/** How much likelier "this comb shows here" must be than "some other line happens to lie here". A choice of this tool. */
const ODDS_TO_NAME = 20;
/** Difference of squared deviations beyond which the nearer of two combs alone owns a line (likelihood ratio e^4 ≈ 55). */
const CLEARLY_NEARER = 8;
/** A comb is there beside another where at least this share of its harmonics around is seen … */
const SEEN_AROUND = 0.3;
/** … and its lines around are no weaker than this against the line, dB: else the line hides it. A choice of this tool. */
const HIDDEN_DB = 20;
/** A rival claim this much less likely than the best is still said. A choice of this tool. */
const RIVAL_ODDS = 20;

/**
 * Says of every line which comb or combs it belongs to.
 *
 * @param context with all lines active @param free coverage of the lines that no comb explains
 * @param owners possible owners of each comb (indices into ranges) @param partOf combs that are fits of one source (see ownership)
 */
export function explainLines(
  context: SearchContext,
  free: SearchContext,
  combs: readonly AcceptedComb[],
  owners: readonly (readonly number[])[],
  ranges: readonly SourceRange[],
  settled: readonly boolean[],
  partOf: readonly number[],
): LineExplanation[] {
  const claims = claimLines(context, free, combs);
  return claims.map((list, line) => explainOne(list, line, context, combs, owners, ranges, settled, partOf));
}

function explainOne(
  claims: LineClaim[],
  line: number,
  context: SearchContext,
  combs: readonly AcceptedComb[],
  owners: readonly (readonly number[])[],
  ranges: readonly SourceRange[],
  settled: readonly boolean[],
  partOf: readonly number[],
): LineExplanation {
  // two fits of one wandering source are one claim: the nearer fit speaks
  claims = claims.filter((claim) =>
    claims.every(
      (other) =>
        other === claim ||
        partOf[other.comb] !== partOf[claim.comb] ||
        other.z2 > claim.z2 ||
        (other.z2 === claim.z2 && other.comb > claim.comb),
    ),
  );
  claims.sort((a, b) => b.odds - a.odds || a.comb - b.comb);
  const toCandidates = (claim: LineClaim): Candidate[] => {
    const chance = 10 ** combs[claim.comb]!.comb.log10Chance;
    const { harmonic, predictedHz, predictedSigmaHz } = claim;
    const base = { harmonic, predictedHz, predictedSigmaHz, chance };
    const names = owners[claim.comb]!.map((s) => ranges[s]!.source.designator);
    return names.length === 0 ? [{ source: null, ...base }] : names.map((source) => ({ source, ...base }));
  };
  const candidates = claims.flatMap(toCandidates);
  const named = claims.filter((claim) => claim.odds >= ODDS_TO_NAME);
  if (named.length === 0)
    return {
      cause: 'unexplained',
      candidates,
      why:
        claims.length === 0
          ? 'No comb, of the register or unknown, has a harmonic here.'
          : 'A harmonic of a comb would lie here, but that comb is hardly seen nearby: this may well be an accident.',
    };
  const best = named[0]!;
  const isThere = (claim: LineClaim): boolean =>
    claim.z2 - best.z2 < CLEARLY_NEARER &&
    claim.visible >= SEEN_AROUND &&
    (claim.overNeighboursDb === null || claim.overNeighboursDb < HIDDEN_DB);
  const beside = named.slice(1).filter(isThere);
  const off = context.lines.frequencyHz[line]! - best.predictedHz;
  const sigma = Math.hypot(context.lines.sigmaHz[line]!, best.predictedSigmaHz);
  const where = `${signed(off)} Hz from harmonic ${best.harmonic} at ± ${digits(sigma)} Hz`;
  if (beside.length > 0)
    return {
      cause: 'shared',
      candidates,
      why: `Harmonics of ${beside.length + 1} combs that are both seen elsewhere fall together here within the resolution.`,
    };
  const rivals = named.slice(1).filter((claim) => claim.odds * RIVAL_ODDS > best.odds);
  if (rivals.length > 0)
    return {
      cause: 'ambiguous',
      candidates,
      why: `Lies ${where} of one comb, but ${rivals.length === 1 ? 'another has' : `${rivals.length} others have`} a harmonic here nearly as likely.`,
    };
  const own = owners[best.comb]!;
  const others = toCandidates(best);
  const { halfOf, mayHold } = combs[best.comb]!;
  const halfWhy = `Lies ${where} of half the frequency of ${halfOf?.source.designator}, whose own lines stand out among these: a two-stage converter shows such lines.`;
  if (halfOf !== undefined && own.length === 0) return { cause: 'unknown-comb', candidates, why: halfWhy };
  if (halfOf !== undefined)
    return {
      cause: 'ambiguous',
      candidates,
      why: `${halfWhy} It would also be a line of ${others.map((o) => o.source).join(', ')}.`,
    };
  const halves = (mayHold ?? []).filter(({ locked, multiple }) => !locked && best.harmonic % multiple !== 0);
  if (halves.length > 0 && own.length > 0)
    return {
      cause: 'ambiguous',
      candidates,
      why: `Lies ${where} of ${others.map((o) => o.source).join(' or ')}, or at an odd multiple of half the frequency of ${halves.map(({ range }) => range.source.designator).join(' or ')}, whose own lines may be among these.`,
    };
  const held = (mayHold ?? []).filter(({ multiple }) => best.harmonic % multiple === 0);
  if (held.length > 0) {
    const holders = held.map(({ range, multiple, log10Chance }): Candidate => ({
      source: range.source.designator,
      harmonic: best.harmonic / multiple,
      predictedHz: best.predictedHz,
      predictedSigmaHz: best.predictedSigmaHz,
      chance: 10 ** log10Chance,
    }));
    return {
      cause: 'ambiguous',
      candidates: own.length === 0 ? [...holders, ...candidates] : [...candidates, ...holders],
      why: `Lies ${where} of a comb ${own.length === 0 ? 'that no register entry accounts for' : `of ${others.map((o) => o.source).join(' or ')}`}, where ${holders.map((h) => h.source).join(' and ')} would fall exactly too; its lines stand out a little, and that cannot choose.`,
    };
  }
  if (own.length === 0)
    return {
      cause: 'unknown-comb',
      candidates,
      why: `Lies ${where} of a comb that no register entry accounts for.`,
    };
  if (own.length > 1 || !settled[best.comb]!)
    return {
      cause: 'ambiguous',
      candidates,
      why:
        own.length > 1
          ? `Lies ${where} of a comb that ${own.length} register entries could own: ${others.map((o) => o.source).join(', ')}; their ranges overlap and frequency cannot choose.`
          : `Lies ${where} of one of several combs in the range of ${others[0]!.source}; which of them is its own cannot be told.`,
    };
  return {
    cause: 'source',
    candidates,
    why: `Lies ${where} of ${others[0]!.source}, whose comb is seen at neighbouring harmonics.`,
  };
}

function digits(x: number): string {
  return x >= 100 ? x.toFixed(0) : x >= 1 ? x.toFixed(1) : x.toPrecision(1);
}

function signed(x: number): string {
  return `${x < 0 ? '−' : '+'}${digits(Math.abs(x))}`;
}
