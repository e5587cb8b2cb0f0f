import { formatFrequency, formatSigned, formatWithDoubt, NO_VALUE } from '../../units/format.ts';
import { formatDate } from './date-text.ts';
import type { Block } from './document.ts';
import type { PacketFacts } from './packet-facts.ts';

/** Each re-check with its own verdict, and every line that is not as it was. */
export function recheckChapter({ contents, rechecks }: PacketFacts): Block[] {
  if (rechecks.length === 0) return [];
  const fileOf = new Map(contents.captures.map(({ id, file }) => [id, file]));
  return [
    { kind: 'heading', level: 2, text: 'Re-check' },
    ...rechecks.flatMap(({ recheck, judgement }): Block[] => {
      const event = contents.events.find(({ id }) => id === recheck.eventId);
      const changed = judgement.lines.filter(({ finding }) => finding !== 'held');
      return [
        {
          kind: 'heading',
          level: 3,
          text: `After ${event?.kind ?? 'an event'}, ${formatDate(recheck.at)}: ${judgement.verdict}`,
        },
        { kind: 'list', items: judgement.reasons },
        {
          kind: 'facts',
          pairs: [
            ['event', event === undefined ? NO_VALUE : `${event.description} (${formatDate(event.at)})`],
            [
              'captures to repeat',
              `${recheck.items.filter(({ droppedBecause }) => droppedBecause === null).length}, waiting ${judgement.waiting.length}`,
            ],
            [
              'taken off the list',
              recheck.items
                .flatMap((item) =>
                  item.droppedBecause === null
                    ? []
                    : [`${fileOf.get(item.baselineCaptureId) ?? item.baselineCaptureId}: ${item.droppedBecause}`],
                )
                .join('; ') || 'none',
            ],
            [
              'exchanged',
              judgement.swapped.map(({ item, frozen, found }) => `${item}: ${frozen} → ${found}`).join('; ') ||
                'nothing',
            ],
            [
              'lines',
              Object.entries(judgement.counts)
                .map(([finding, count]) => `${count} ${finding}`)
                .join(', '),
            ],
          ],
        },
        ...(changed.length === 0
          ? []
          : [
              {
                kind: 'table',
                caption: 'Lines that are not as they were at the frozen baseline',
                columns: [
                  { head: 'finding', align: 'left', share: 11 },
                  { head: 'frequency', align: 'right', share: 16 },
                  { head: 'source', align: 'left', share: 14 },
                  { head: 'change [dB]', align: 'right', share: 14 },
                  { head: 'why', align: 'left', share: 45 },
                ],
                rows: changed
                  .slice(0, 120)
                  .map((line) => [
                    line.finding,
                    formatFrequency(line.frequencyHz),
                    line.source === null ? 'nobody' : `${line.source} × ${line.harmonic ?? '?'}`,
                    line.changeDb === null
                      ? NO_VALUE
                      : line.changeSigmaDb === null
                        ? formatSigned(line.changeDb)
                        : formatWithDoubt(line.changeDb, line.changeSigmaDb, 1),
                    line.why,
                  ]),
              } as const,
            ]),
      ];
    }),
  ];
}

/** What the review decided, asked and gave out to do. */
export function notesChapter({ contents: { notes } }: PacketFacts): Block[] {
  if (notes.length === 0) return [];
  return [
    { kind: 'heading', level: 2, text: 'Said in the review' },
    {
      kind: 'table',
      caption: 'Decisions with the names of those who took them, questions, and actions with their owners',
      columns: [
        { head: 'date', align: 'left', share: 14 },
        { head: 'kind', align: 'left', share: 10 },
        { head: 'about', align: 'left', share: 16 },
        { head: 'text', align: 'left', share: 36 },
        { head: 'by', align: 'left', share: 16 },
        { head: 'state', align: 'left', share: 18 },
      ],
      rows: notes.map((note) => [
        formatDate(note.at),
        note.kind,
        note.subject.kind === 'whole' ? 'the whole' : `${note.subject.kind} ${note.subject.key}`,
        note.text,
        note.by.join(', '),
        note.kind === 'decision'
          ? 'taken'
          : note.closedAt === null
            ? `open${note.owner === '' ? '' : `, ${note.owner}`}${note.dueOn === null ? '' : `, due ${note.dueOn}`}`
            : `closed ${formatDate(note.closedAt)}${note.answer === '' ? '' : `: ${note.answer}`}`,
      ]),
    },
  ];
}
