import type { Candidate, LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';
import type { Decision } from '../../model/decision.ts';
import type { Source } from '../../model/source.ts';
import type { Spur } from '../../model/spur.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { decisionStandings } from './decision-standing.ts';

/** What is said of the lines once the engineer's decisions count. */
export interface Decided {
  /** Parallel to the lines. */
  readonly explanations: readonly LineExplanation[];
  /** Decisions that changed nothing, and why: their line is gone, or their source is not in the register. */
  readonly warnings: readonly string[];
}

/**
 * The explanations with the engineer's decisions put in place of what the tool says: a decided line counts for the source it was given
 * to, and whatever judges, counts or compares says by whom. Pure; the order of the list decides nothing.
 *
 * - A decision finds its line as it always does (decisionStandings). Of several on one line the latest counts, notes never.
 * - `confirm` and `reassign` with a source: that source alone, its harmonic (the nearest one where none was entered).
 * - `reject`, or a reassignment to nobody: unexplained.
 * - `confirm` of a cause without a source (from outside, of the kit, …) holds where the evidence of today says that cause or nothing.
 *   Where it names something else the evidence stands: else an old confirmation would take a line of the build out of its verdict.
 */
export function decidedExplanations(
  decisions: readonly Decision[],
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  sources: readonly Source[],
): Decided {
  const inOrder = decisions
    .filter(({ kind }) => kind !== 'note')
    .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.id - b.id));
  if (inOrder.length === 0) return { explanations, warnings: [] };
  const latest = new Map<number, Decision>();
  const warnings: string[] = [];
  decisionStandings(inOrder, spurs, explanations).forEach(({ spur }, d) => {
    const decision = inOrder[d]!;
    if (spur === null) warnings.push(`${nameOf(decision)} changes nothing: no line stands there any more`);
    else latest.set(spur, decision);
  });
  const decided = [...explanations];
  for (const [spur, decision] of latest) {
    const said = saidBy(decision, spurs[spur]!, explanations[spur]!, sources);
    if (typeof said === 'string') warnings.push(`${nameOf(decision)} changes nothing: ${said}`);
    else decided[spur] = said;
  }
  return { explanations: decided, warnings };
}

/** A triaged capture whose lines and combs say what was decided: a comb of which decisions left no line is not claimed. */
export function decidedTriage(
  triaged: TriagedTrace,
  decisions: readonly Decision[],
  sources: readonly Source[],
): TriagedTrace {
  if (decisions.length === 0) return triaged;
  const { triage } = triaged;
  const { explanations, warnings } = decidedExplanations(decisions, triage.spurs, triage.explanations, sources);
  const names = (all: readonly LineExplanation[], comb: Comb) =>
    all.some(({ candidates }) => candidates.some(({ source }) => source === comb.source));
  const combs = triage.combs.filter(
    (comb) => comb.source === null || names(explanations, comb) || !names(triage.explanations, comb),
  );
  return { ...triaged, triage: { ...triage, explanations, combs, warnings: [...triage.warnings, ...warnings] } };
}

/** What the line is once the decision counts; words where it cannot count. */
function saidBy(
  decision: Decision,
  spur: Spur,
  today: LineExplanation,
  sources: readonly Source[],
): LineExplanation | string {
  const decidedBy = decision.by === '' ? 'an engineer' : decision.by;
  const words = (what: string) =>
    `${what}, decided by ${decidedBy} on ${decision.at.slice(0, 10)}${decision.note === '' ? '' : `: ${decision.note}`}. The tool says: ${today.why}`;
  if (decision.kind === 'confirm' && decision.source === null) {
    const cause = decision.cause ?? today.cause;
    if (cause === today.cause) return { ...today, decidedBy, why: words('Confirmed') };
    if (today.cause !== 'unexplained') return 'it confirmed what the evidence of today no longer says';
    return { cause, candidates: [], decidedBy, why: words('Confirmed') };
  }
  if (decision.kind === 'reject' || decision.source === null)
    return { cause: 'unexplained', candidates: [], decidedBy, why: words('Nobody’s') };
  const source = sources.find(({ designator }) => designator === decision.source);
  if (source === undefined) return `there is no source ${decision.source} in the register`;
  const candidate = candidateOf(decision, source, spur, today);
  return {
    cause: 'source',
    candidates: [candidate],
    decidedBy,
    why: words(`${source.designator} × ${candidate.harmonic}`),
  };
}

/** The tool's own candidate where it has one; else the line's own place, and a chance of 1: nothing but the decision speaks for it. */
function candidateOf(
  { harmonic }: Decision,
  { designator, nominalHz }: Source,
  { frequencyHz, frequencySigmaHz }: Spur,
  { candidates }: LineExplanation,
): Candidate {
  const known = candidates.find((one) => one.source === designator && (harmonic === null || one.harmonic === harmonic));
  return (
    known ?? {
      source: designator,
      harmonic: harmonic ?? Math.max(1, Math.round(frequencyHz / nominalHz)),
      predictedHz: frequencyHz,
      predictedSigmaHz: frequencySigmaHz,
      chance: 1,
    }
  );
}

function nameOf({ kind, frequencyHz, by }: Decision): string {
  return `the decision of ${by === '' ? 'an engineer' : by} at ${(frequencyHz / 1e6).toFixed(6)} MHz (${kind})`;
}
