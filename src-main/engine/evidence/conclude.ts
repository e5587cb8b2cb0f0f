import type { Cause, LineExplanation } from '../../model/attribution.ts';
import type { Evidence, WeighedExplanation } from '../../model/evidence.ts';

export interface ConcludeInput {
  /** What the line's own capture said. */
  readonly alone: LineExplanation;
  /** The same after switching; equal where that changed nothing. */
  readonly switched: Pick<LineExplanation, 'cause' | 'candidates'>;
  /** A clause for what switching changed; null where nothing. */
  readonly switchedWhy: string | null;
  readonly evidence: readonly Evidence[];
  /** True where every terminated capture that shows the line had its load at the analyser. */
  readonly terminatedAtAnalyser: boolean;
}

/**
 * The cause of one line once everything is weighed, and the sentence for it.
 *
 * In this order: what shows with the input terminated, or behaves as made in the analyser, is the instrument's; what stands at the same
 * level with all sources off is from outside; else what the spectrum says, narrowed by switching. Contradictions decide nothing: a
 * line that shows terminated at the analyser and yet follows an attenuator as arriving lines do keeps its cause, and so does one
 * that behaves as a residual and is absent when terminated.
 */
export function conclude({
  alone,
  switched,
  switchedWhy,
  evidence,
  terminatedAtAnalyser,
}: ConcludeInput): WeighedExplanation {
  const supporting = (cause: Cause, ...kinds: Evidence['kind'][]) =>
    evidence.filter((one) => kinds.includes(one.kind) && one.supports.some((claim) => claim.cause === cause));
  const against = (cause: Cause, kind: Evidence['kind']) =>
    evidence.filter((one) => one.kind === kind && one.contradicts.some((claim) => claim.cause === cause));

  const terminated = supporting('instrument', 'role', 'terminated');
  const made = supporting('instrument', 'attenuator');
  const real = against('instrument', 'attenuator');
  const absentTerminated = against('instrument', 'terminated').filter((one) => one.outcome === 'absent');
  const residual = made.filter((one) => one.outcome === 'residual');
  const overload = made.filter((one) => one.outcome === 'overload');
  const off = supporting('ambient', 'role', 'sources-off');
  const others = (used: readonly Evidence[]) => evidence.filter((one) => !used.includes(one));

  const result = (cause: Cause, used: readonly Evidence[], candidates = switched.candidates): WeighedExplanation => ({
    cause,
    candidates,
    why: sentence([
      ...used.slice(0, 2).map((one) => one.sentence),
      ...besides(alone, cause),
      ...telling(others(used), cause),
      ...hints(evidence, cause),
    ]),
    evidence,
    causeAlone: alone.cause,
  });

  const contradictory = real.length > 0 && (made.length > 0 || (terminated.length > 0 && terminatedAtAnalyser));
  if (!contradictory && terminated.length > 0) return result('instrument', terminated);
  if (!contradictory && overload.length > 0) return result('instrument', overload);
  if (!contradictory && residual.length > 0 && absentTerminated.length === 0) return result('instrument', residual);
  if (off.length > 0 && terminated.length === 0 && made.length === 0) return result('ambient', off);

  const shown = evidence.filter((one) => WORTH_SAYING.has(one.outcome) && one.kind !== 'band');
  const first = switchedWhy === null ? [trimmed(alone.why)] : [switchedWhy];
  const clash =
    contradictory || (residual.length > 0 && absentTerminated.length > 0)
      ? ['the captures of the measuring kit contradict each other, so nothing is concluded from them']
      : [];
  return {
    cause: switched.cause,
    candidates: switched.candidates,
    why: sentence([
      ...first,
      ...clash,
      ...byWeight(shown.filter((one) => one.kind !== 'load-shift' && !isPlainAbsence(one)))
        .slice(0, 3)
        .map((one) => one.sentence),
      ...absences(shown.filter(isPlainAbsence)),
      ...hints(evidence, switched.cause),
    ]),
    evidence,
    causeAlone: alone.cause,
  };
}

/** What speaks for or against somebody first; of what only says "unchanged by that", one piece is enough. */
function byWeight(found: readonly Evidence[]): Evidence[] {
  const speaks = found.filter((one) => one.supports.length + one.contradicts.length > 0 || one.outcome !== 'same');
  const rest = found.filter((one) => !speaks.includes(one));
  return [...speaks, ...rest.slice(0, speaks.length > 0 ? 0 : 1)];
}

/** Not there without the item: what every line of the item shows, so it is said in few words. */
function isPlainAbsence({ kind, outcome }: Evidence): boolean {
  return outcome === 'absent' && (kind === 'sources-off' || kind === 'terminated');
}

function absences(found: readonly Evidence[]): string[] {
  if (found.length === 0) return [];
  return [`it is not there ${found.map(({ where, file }) => `${where ?? ''} (${file ?? ''})`).join(' nor ')}`];
}

/** Outcomes that say something; what could not be seen is in the list of evidence and not in the sentence. */
const WORTH_SAYING = new Set<Evidence['outcome']>([
  'same',
  'stronger',
  'weaker',
  'absent',
  'moved-along',
  'real',
  'residual',
  'overload',
  'undecided',
]);

/** What the spectrum alone would have said, where the evidence overrules it. */
function besides({ cause, candidates }: LineExplanation, now: Cause): string[] {
  const best = candidates[0];
  if (cause === now || best === undefined || cause === 'unexplained') return [];
  return [`by frequency alone it would be harmonic ${best.harmonic} of ${best.source ?? 'an unknown comb'}`];
}

/** Of the other evidence what bears on the conclusion: what tells outside from kit, and cable from analyser; one clause. */
function telling(rest: readonly Evidence[], cause: Cause): string[] {
  const absent = rest.find((one) => one.kind === 'terminated' && one.outcome === 'absent');
  if (absent !== undefined) return [`it is not there ${absent.where} (${absent.file ?? ''})`];
  const other = rest.find(
    (one) =>
      (one.kind === 'terminated' && one.outcome === 'weaker') ||
      (one.kind === 'attenuator' && one.outcome === 'real' && cause !== 'instrument'),
  );
  return other === undefined ? [] : [other.sentence];
}

/** One band is mentioned where nobody of the build is meant: rather one on whose raster the line does not sit beside. */
function hints(evidence: readonly Evidence[], cause: Cause): string[] {
  if (cause !== 'ambient' && cause !== 'unexplained') return [];
  const bands = evidence.filter((one) => one.kind === 'band').map((one) => one.sentence);
  const best = bands.find((text) => !text.includes('off its')) ?? bands[0];
  return best === undefined ? [] : [best];
}

function trimmed(why: string): string {
  return why.replace(/\.\s*$/, '');
}

/** One sentence: the first clause with a capital, clauses parted by semicolons. */
function sentence(clauses: readonly string[]): string {
  const text = clauses.filter((clause) => clause !== '').join('; ');
  return text === '' ? '' : `${text[0]!.toUpperCase()}${text.slice(1)}.`;
}
