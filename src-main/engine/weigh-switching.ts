import type { Candidate } from '../model/attribution.ts';
import type { Evidence } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import { movedAlongEvidence, switchEvidence } from './evidence/clauses.ts';
import type { CombFate } from './evidence/comb-fate.ts';
import type { CombView } from './evidence/comb-view.ts';
import type { LineSwitching } from './evidence/explain-after-switching.ts';
import { findLevel } from './evidence/level-finding.ts';
import type { WeighedLine } from './evidence/sight.ts';
import { isApart, ownerWords, type Followed, type Reference } from './follow-combs.ts';

/** What switching and movement say of one line; adds the evidence and returns which combs it cannot belong to. */
export function weighSwitching(
  i: number,
  line: WeighedLine,
  candidates: readonly Candidate[],
  captures: readonly Followed[],
  views: readonly CombView[],
  combOf: (candidate: Candidate) => number,
  unit: string,
  settings: EvidenceSettings,
  evidence: Evidence[],
): LineSwitching {
  const notOf = new Set<number>();
  const notBy = new Set<string>();
  let wholeOf = -1;
  const byComb = new Map<number, Candidate>();
  for (const candidate of candidates) {
    const c = combOf(candidate);
    if (c >= 0 && !byComb.has(c)) byComb.set(c, candidate);
  }
  const names = [...new Set(candidates.flatMap(({ source }) => (source === null ? [] : [source])))];
  // switching another load changes levels a little beside what the set-up does
  const loaded = { ...settings, repeatabilityDb: Math.hypot(settings.repeatabilityDb, settings.loadLevelDb / 2) };
  for (const capture of captures) {
    const own = capture.findings[i]!;
    const { file, fates, switchedOff, statusThere, reference, choice } = capture;
    const stays = own.outcome === 'same' || own.outcome === 'stronger';
    const places = [...byComb].map(([c, candidate]) => ({ c, candidate, fate: fates[c]! }));
    const along = movedAlong(places, line, capture, views, loaded);
    if (along !== null) evidence.push(along);
    else if (choice.as === 'switch-off') evidence.push(switchEvidence(own, file, unit, switchedOff, names));
    if (stays) for (const name of names) if (statusThere(name) === 'off') notBy.add(name);
    for (const { c, fate } of places) {
      const owners = views[c]!.owners;
      const allOff = owners.length > 0 && owners.every((owner) => statusThere(owner) === 'off');
      if (stays && (fate.is === 'gone' || (allOff && fate.is === 'undecided'))) notOf.add(c);
    }
    const [only] = places;
    if (places.length === 1 && only!.fate.is === 'gone' && own.outcome === 'absent') {
      // a rival without a comb: the line went with the comb, and nothing of the rival shows there
      const rivals = candidates.filter((candidate) => combOf(candidate) < 0).map(({ source }) => source);
      const there = reference.triaged.triage.combs.flatMap(({ source, couldAlsoBe }) => [source, ...couldAlsoBe]);
      const isAway = (name: string | null) => name !== null && statusThere(name) !== 'off' && !there.includes(name);
      if (rivals.length > 0 && rivals.every(isAway)) wholeOf = only!.c;
    }
    if (places.length < 2) continue;
    // Several combs share the line: which of them still shows it where it has gone?
    const seen = places.map(({ candidate, fate }) => {
      if (fate.is === 'gone') return 'gone' as const;
      if (fate.is === 'undecided') return 'unknown' as const;
      const place = candidate.predictedHz * fate.ratio!;
      return findLevel(line, look(reference, line, place, candidate, fate), fate.changeDb ?? 0, loaded).outcome;
    });
    const at = places.map(({ candidate, fate }) => candidate.predictedHz * (fate.ratio ?? 1));
    const resolutionHz = Math.max(reference.here.rbwHz, reference.there.rbwHz, reference.there.spacingHz);
    const together = at.some((x, k) =>
      at.some((y, l) => l > k && seen[k] !== 'gone' && seen[l] !== 'gone' && Math.abs(x - y) < 2 * resolutionHz),
    );
    if (together || seen.includes('unknown')) continue;
    const whole = seen.flatMap((one, k) => (one === 'same' || one === 'stronger' ? [k] : []));
    const none = seen.flatMap((one, k) => (one === 'absent' ? [k] : []));
    if (whole.length === 1 && whole.length + none.length + seen.filter((one) => one === 'gone').length === seen.length)
      wholeOf = places[whole[0]!]!.c;
    else if (whole.length === 0 && none.length === seen.length - 1) {
      const gone = seen.indexOf('gone');
      if (gone >= 0) wholeOf = places[gone]!.c;
    }
  }
  return { notOf, notBy, wholeOf };
}

/** The evidence of a line with one comb that was found where its comb has moved to; null where it was not, or the comb hardly moved. */
function movedAlong(
  places: readonly { readonly c: number; readonly candidate: Candidate; readonly fate: CombFate }[],
  line: WeighedLine,
  { reference, file, kind }: Followed,
  views: readonly CombView[],
  settings: EvidenceSettings,
): Evidence | null {
  const [only, second] = places;
  if (only === undefined || second !== undefined) return null;
  const { c, candidate, fate } = only;
  if (fate.is !== 'continues' || !isApart(fate, candidate, reference)) return null;
  const sight = look(reference, line, candidate.predictedHz * fate.ratio!, candidate, fate);
  const moved = findLevel(line, sight, fate.changeDb ?? 0, settings);
  if (moved.outcome !== 'same' && moved.outcome !== 'stronger' && moved.outcome !== 'weaker') return null;
  return movedAlongEvidence(kind, moved, file, ownerWords(views[c]!), 1e6 * (fate.ratio! - 1), views[c]!.comb.source);
}

/** Looks for a tooth where its comb has gone. */
function look(reference: Reference, line: WeighedLine, atHz: number, candidate: Candidate, fate: CombFate) {
  const doubtHz = 3 * Math.hypot(candidate.predictedSigmaHz, candidate.predictedHz * fate.ratioSigma);
  return reference.look(line, atHz, doubtHz);
}
