import type { LineExplanation } from '../../model/attribution.ts';
import type { Decision } from '../../model/decision.ts';
import type { DecisionStanding } from '../../model/evidence.ts';
import type { Spur } from '../../model/spur.ts';

/** How far a line of a known source and harmonic may have moved and still be the one decided on, relative. A free-running converter's reach. */
const LARGEST_MOVE = 0.025;

/**
 * How every decision stands against what is said of the lines today.
 *
 * A decision follows its line by source and harmonic first (the line that today is, or could be, that harmonic of that source, within
 * 2.5 % of where it was), then by frequency (nearest line within five standard deviations or half its width). Decisions are never changed
 * here. Of several on one line each gets its own standing.
 */
export function decisionStandings(
  decisions: readonly Decision[],
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
): DecisionStanding[] {
  return decisions.map((decision) => {
    const found = findLine(decision, spurs, explanations);
    const base = { decisionId: decision.id, spur: found?.spur ?? null, foundBy: found?.by ?? null };
    if (found === null)
      return {
        ...base,
        standing: 'no line',
        sentence: 'No line of today stands where this was decided; the decision is kept.',
      };
    const disagreement = disagreementOf(decision, explanations[found.spur]!);
    return disagreement === null
      ? { ...base, standing: 'agrees', sentence: AGREES[decision.kind] }
      : { ...base, standing: 'evidence disagrees', sentence: disagreement };
  });
}

const AGREES: Readonly<Record<Decision['kind'], string>> = {
  confirm: 'The evidence of today says the same.',
  reassign: 'Nothing in the evidence of today speaks against it.',
  reject: 'The evidence of today names no single owner either.',
  note: 'A note decides nothing that evidence could contradict.',
};

function findLine(
  { source, harmonic, frequencyHz }: Decision,
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
): { spur: number; by: 'source and harmonic' | 'frequency' } | null {
  const nearest = (fits: (spur: Spur, i: number) => boolean): number => {
    let best = -1;
    let miss = Infinity;
    spurs.forEach((spur, i) => {
      const distance = Math.abs(spur.frequencyHz - frequencyHz);
      if (distance < miss && fits(spur, i)) [best, miss] = [i, distance];
    });
    return best;
  };
  if (source !== null && harmonic !== null) {
    const same = nearest(
      (spur, i) =>
        Math.abs(spur.frequencyHz / frequencyHz - 1) <= LARGEST_MOVE &&
        explanations[i]!.candidates.some((candidate) => candidate.source === source && candidate.harmonic === harmonic),
    );
    if (same >= 0) return { spur: same, by: 'source and harmonic' };
  }
  const near = nearest(
    (spur) => Math.abs(spur.frequencyHz - frequencyHz) <= Math.max(5 * spur.frequencySigmaHz, spur.widthHz / 2),
  );
  return near < 0 ? null : { spur: near, by: 'frequency' };
}

/** Causes that put a line outside the item's sources. */
const ELSEWHERE: Readonly<Partial<Record<LineExplanation['cause'], string>>> = {
  ambient: 'from outside',
  instrument: 'from the measuring kit',
};

/** Why the evidence disagrees; null where it does not. An ambiguous line with the decided source among its candidates does not. */
function disagreementOf(decision: Decision, { cause, candidates }: LineExplanation): string | null {
  if (decision.kind === 'note') return null;
  const now = nowWords(cause, candidates);
  if (decision.kind === 'reject')
    return cause === 'source' || ELSEWHERE[cause] !== undefined
      ? `Entered as nobody’s, but the evidence of today says ${now}.`
      : null;
  if (decision.source === null) {
    const then = decision.cause ?? null;
    return then !== null && then !== cause
      ? `Confirmed as ${CAUSE_WORDS[then]}, but the evidence of today says ${now}.`
      : null;
  }
  const entered = `${decision.source}${decision.harmonic === null ? '' : ` × ${decision.harmonic}`}`;
  const fits = candidates.some(
    ({ source, harmonic }) =>
      source === decision.source && (decision.harmonic === null || harmonic === decision.harmonic),
  );
  const best = candidates[0];
  const isBest =
    best?.source === decision.source && (decision.harmonic === null || best?.harmonic === decision.harmonic);
  if (cause === 'source' ? isBest : fits && ELSEWHERE[cause] === undefined && cause !== 'unexplained') return null;
  return `Entered as ${entered}, but the evidence of today says ${now}.`;
}

const CAUSE_WORDS: Readonly<Record<LineExplanation['cause'], string>> = {
  source: 'a known source',
  ambiguous: 'ambiguous',
  shared: 'shared by several',
  'unknown-comb': 'a tooth of a comb that no entry owns',
  beat: 'a beat',
  sideband: 'a sideband',
  ambient: 'from outside',
  instrument: 'from the measuring kit',
  unexplained: 'that nobody knows',
};

function nowWords(cause: LineExplanation['cause'], candidates: LineExplanation['candidates']): string {
  const named = candidates.flatMap(({ source, harmonic }) => (source === null ? [] : [`${source} × ${harmonic}`]));
  if (cause === 'source' && named.length > 0) return named[0]!;
  if ((cause === 'ambiguous' || cause === 'shared') && named.length > 0)
    return `${CAUSE_WORDS[cause]}: ${named.slice(0, 3).join(', ')}`;
  return CAUSE_WORDS[cause];
}
