import type { TrackStatus } from '../../model/track.ts';
import { formatDate } from './date-text.ts';
import type { Block } from './document.ts';
import type { PacketFacts } from './packet-facts.ts';

export const STATUSES: readonly TrackStatus[] = [
  'cleared',
  'weaker',
  'persists',
  'stronger',
  'new',
  'back',
  'hidden',
  'uncovered',
];

/** From state to state: what was changed, what happened, and what each step did, in sentences with numbers. */
export function storyChapter({ contents, comparisons }: PacketFacts): Block[] {
  const name = new Map(contents.states.map((state) => [state.id, state.name]));
  return [
    { kind: 'heading', level: 2, text: 'The way here' },
    {
      kind: 'table',
      caption: 'Build states, oldest first',
      columns: [
        { head: 'state', align: 'left', share: 10 },
        { head: 'from', align: 'left', share: 8 },
        { head: 'date', align: 'left', share: 18 },
        { head: 'what it is', align: 'left', share: 34 },
        { head: 'what was changed to get there', align: 'left', share: 40 },
      ],
      rows: contents.states.map((state) => [
        state.name,
        state.parentId === null ? '–' : (name.get(state.parentId) ?? '–'),
        formatDate(state.at),
        state.description,
        contents.fixes
          .filter(({ toStateId }) => toStateId === state.id)
          .map(
            (fix) =>
              `${fix.change}${fix.sources.length === 0 ? '' : ` (for ${fix.sources.join(', ')})`}${fix.undoneAt === null ? '' : `; taken out ${formatDate(fix.undoneAt)}`}`,
          )
          .join('; ') || '–',
      ]),
    },
    ...(contents.events.length === 0
      ? []
      : [
          {
            kind: 'table',
            caption: 'What happened to the build',
            columns: [
              { head: 'date', align: 'left', share: 18 },
              { head: 'event', align: 'left', share: 16 },
              { head: 'after state', align: 'left', share: 12 },
              { head: 'description', align: 'left', share: 54 },
            ],
            rows: contents.events.map((event) => [
              formatDate(event.at),
              event.kind,
              event.afterStateId === null ? '–' : (name.get(event.afterStateId) ?? '–'),
              event.description,
            ]),
          } as const,
        ]),
    ...(comparisons.length === 0
      ? [
          {
            kind: 'paragraph',
            tone: 'plain',
            text: 'No two states were measured alike at one point, so nothing was compared.',
          } as const,
        ]
      : [
          { kind: 'list', items: comparisons.map(({ asked, sentence }) => `${asked.name}: ${sentence}`) } as const,
          {
            kind: 'table',
            caption:
              'Spurs by what became of them. “Hidden” and “uncovered” prove nothing. Every track with its numbers is in tables/tracks.csv.',
            columns: [
              { head: 'step', align: 'left', share: 26 },
              ...STATUSES.map((status) => ({ head: status, align: 'right', share: 10 }) as const),
            ],
            rows: comparisons.map(({ asked, result }) => [
              asked.name,
              ...STATUSES.map((status) => String(result.tracks.filter((track) => track.status === status).length)),
            ]),
          } as const,
        ]),
  ];
}
