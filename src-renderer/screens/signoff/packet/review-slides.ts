import type { GridChoice, LimitEntry } from '../../../../src-main/api/contract/verdict-calls.ts';
import type { Judgement } from '../../../../src-main/model/judgement.ts';
import type { Requirement } from '../../../../src-main/model/requirement.ts';
import type { ReviewNote, ReviewSubject } from '../../../../src-main/model/review-note.ts';
import type { StateGrid, StateTrack } from '../../../../src-main/model/state-track.ts';
import type { Verdict } from '../../../../src-main/model/verdict.ts';

export type { GridChoice, LimitEntry };

/** What the wall shows at one time. */
export type Slide =
  | { readonly kind: 'whole' }
  | { readonly kind: 'requirement'; readonly requirement: Requirement; readonly verdicts: readonly Verdict[] }
  | { readonly kind: 'spur'; readonly track: StateTrack; readonly grid: StateGrid };

/** Spurs that a meeting goes through at most; the rest is in the packet. */
const MOST_SPURS = 40;

/**
 * The order of a review: the whole, every requirement with what does not hold first, then the spurs that stand over what is allowed in
 * the last state, the worst first, then those that nobody can tell.
 */
export function reviewSlides(
  requirements: readonly Requirement[],
  judgement: Judgement | null,
  grid: StateGrid | null,
): Slide[] {
  const slides = requirements.map((requirement) => ({
    kind: 'requirement' as const,
    requirement,
    verdicts: judgement?.verdicts.filter(({ requirementId }) => requirementId === requirement.id) ?? [],
  }));
  slides.sort((a, b) => gravity(b.verdicts) - gravity(a.verdicts));
  return [
    { kind: 'whole' },
    ...slides,
    ...(grid === null ? [] : worstTracks(grid).map((track) => ({ kind: 'spur' as const, track, grid }))),
  ];
}

/** 2: something falls short; 1: something is not shown, or nothing is said; 0: all of it holds. */
function gravity(verdicts: readonly Verdict[]): number {
  if (verdicts.some(({ ruling }) => ruling === 'falls short')) return 2;
  return verdicts.length === 0 || verdicts.some(({ ruling }) => ruling === 'not shown') ? 1 : 0;
}

function worstTracks({ tracks }: StateGrid): StateTrack[] {
  const last = (track: StateTrack) => track.cells.findLast((cell) => cell !== null) ?? null;
  const over = (track: StateTrack): number => {
    const cell = last(track);
    return cell === null || cell.levelDb === null ? -Infinity : (cell.overAllowedDb ?? -Infinity);
  };
  const named = tracks.filter((track) => over(track) > -Infinity).sort((a, b) => over(b) - over(a));
  const hidden = tracks.filter((track) => last(track)?.status === 'hidden' && track.band !== null);
  return [...new Set([...named.filter((track) => over(track) > 0), ...hidden, ...named])].slice(0, MOST_SPURS);
}

/** What a note on this slide speaks of. */
export function subjectOf(slide: Slide): ReviewSubject {
  switch (slide.kind) {
    case 'whole':
      return { kind: 'whole', key: '' };
    case 'requirement':
      return { kind: 'requirement', key: slide.requirement.code };
    case 'spur':
      return { kind: 'spur', key: spurKey(slide.track) };
  }
}

/** Source and harmonic name a line through all its drifts; only a nameless one is called by its frequency. */
export function spurKey({ source, harmonic, frequencyHz }: StateTrack): string {
  return source === null ? `${(frequencyHz / 1e6).toFixed(4)} MHz` : `${source} × ${harmonic ?? '?'}`;
}

export function notesOf(slide: Slide, notes: readonly ReviewNote[]): ReviewNote[] {
  const { kind, key } = subjectOf(slide);
  return notes.filter(({ subject }) => subject.kind === kind && subject.key === key);
}

/** Questions and actions that nobody has closed, the oldest first. */
export function openNotes(notes: readonly ReviewNote[]): ReviewNote[] {
  return notes.filter(({ kind, closedAt }) => kind !== 'decision' && closedAt === null);
}
