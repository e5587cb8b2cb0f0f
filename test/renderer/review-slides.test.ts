import { expect, test } from 'vitest';
import type { Requirement } from '../../src-main/model/requirement.ts';
import type { ReviewNote } from '../../src-main/model/review-note.ts';
import type { StateGrid, StateTrack, TrackCell } from '../../src-main/model/state-track.ts';
import type { Verdict } from '../../src-main/model/verdict.ts';
import type { Judgement } from '../../src-main/model/judgement.ts';
import { notesOf, openNotes, reviewSlides, spurKey } from '../../src-renderer/screens/signoff/packet/review-slides.ts';

const requirement = (id: number): Requirement => ({
  id,
  code: `RX-${id}`,
  text: '',
  bands: [],
  demand: { kind: 'strongest-line' },
  limit: null,
  modes: [],
  temperatures: [],
  points: [],
});
const verdict = (requirementId: number, ruling: Verdict['ruling']) => ({ requirementId, ruling }) as Verdict;
const cell = (over: number | null, status: TrackCell['status'] = 'persists') =>
  ({ status, levelDb: status === 'hidden' ? null : -90, overAllowedDb: over }) as TrackCell;
const track = (number: number, cells: readonly (TrackCell | null)[], band: string | null = 'low'): StateTrack => ({
  number,
  source: 'U1',
  harmonic: number,
  cause: 'source',
  candidates: [],
  frequencyHz: number * 1e5,
  band,
  cells,
});
const grid = (tracks: readonly StateTrack[]): StateGrid => ({
  point: null,
  mode: null,
  temperature: null,
  unit: 'dBm',
  columns: [],
  tracks,
  warnings: [],
});

test('a review starts with the whole, then what does not hold, then the worst spurs', () => {
  const judgement = {
    verdicts: [verdict(1, 'holds'), verdict(2, 'not shown'), verdict(3, 'holds'), verdict(3, 'falls short')],
  } as unknown as Judgement;
  const tracks = [
    track(1, [cell(2)]),
    track(2, [cell(9)]),
    track(3, [cell(30), cell(-4)]),
    track(4, [cell(5), cell(null, 'hidden')]),
    track(5, [cell(null)], null),
  ];
  const slides = reviewSlides([1, 2, 3, 4].map(requirement), judgement, grid(tracks));
  expect(
    slides.map((slide) =>
      slide.kind === 'requirement' ? slide.requirement.code : slide.kind === 'spur' ? slide.track.number : 'whole',
    ),
  ).toEqual(['whole', 'RX-3', 'RX-2', 'RX-4', 'RX-1', 2, 1, 4, 3]);
});

test('a note belongs to the slide it was written on, a line by source and harmonic through all its drifts', () => {
  const note = (kind: ReviewNote['subject']['kind'], key: string, more: Partial<ReviewNote> = {}): ReviewNote => ({
    id: 1,
    freezeId: null,
    kind: 'action',
    subject: { kind, key },
    text: '',
    by: [],
    owner: 'b',
    dueOn: null,
    at: '',
    closedAt: null,
    answer: '',
    ...more,
  });
  const notes = [
    note('spur', 'U1 × 2'),
    note('requirement', 'RX-1'),
    note('whole', '', { kind: 'decision' }),
    note('spur', 'U1 × 2', { closedAt: 'x' }),
  ];
  const [, slide] = reviewSlides([], null, grid([track(2, [cell(9)])]));
  expect(spurKey(track(2, []))).toBe('U1 × 2');
  expect(spurKey({ ...track(2, []), source: null })).toBe('0.2000 MHz');
  expect(notesOf(slide!, notes)).toEqual([notes[0], notes[3]]);
  expect(openNotes(notes)).toEqual([notes[0], notes[1]]);
});
