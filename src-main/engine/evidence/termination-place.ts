import type { Condition, TerminationPlace } from '../../model/condition.ts';

/** Where the load sat in a capture with the input terminated, and whether that was stated or read from free text. */
export function terminationPlace(condition: Condition): {
  place: TerminationPlace | null;
  from: 'stated' | 'words' | null;
} {
  if (condition.terminatedAt != null) return { place: condition.terminatedAt, from: 'stated' };
  // the mode says what was done; the point may name the usual probe although the load sat at the analyser
  for (const text of [condition.mode, condition.load ?? null, condition.point]) {
    if (text === null) continue;
    const probe = /\b(probe|cable|antenna|far)\b/i.test(text);
    const analyser = /\b(analy[sz]er|instrument|front)\b/i.test(text);
    if (probe !== analyser) return { place: probe ? 'probe' : 'analyser', from: 'words' };
  }
  return { place: null, from: null };
}
