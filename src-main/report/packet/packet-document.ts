import { formatDate } from './date-text.ts';
import { capturesChapter } from './captures-chapter.ts';
import { coverageGaps } from './coverage-gaps.ts';
import type { Block, PacketDocument } from './document.ts';
import { finalState, type PacketFacts } from './packet-facts.ts';
import { buildChapter, cautionsChapter, sourcesChapter } from './register-chapters.ts';
import { notesChapter, recheckChapter } from './review-chapters.ts';
import { storyChapter } from './story-chapter.ts';
import { dispositionsChapter, requirementsChapter } from './verdict-chapters.ts';

/** The packet as a document: the answer and what was never measured first, the evidence after. Print and page are made of it. */
export function packetDocument(facts: PacketFacts): PacketDocument {
  const { contents } = facts;
  const state = finalState(contents);
  const title = `${contents.title}${state === null ? '' : `, state ${state.name}`}`;
  const revision = contents.freeze === null ? 'draft' : `revision ${contents.freeze.revision}`;
  const running = `${contents.isInvented ? 'INVENTED · ' : ''}${title} · sign-off packet, ${revision}`;
  return {
    title: `${title}: sign-off packet, ${revision}`,
    running,
    at: formatDate(contents.at),
    blocks: [
      ...firstPage(facts, title, revision),
      ...requirementsChapter(facts),
      ...dispositionsChapter(facts),
      ...buildChapter(facts),
      ...storyChapter(facts),
      ...recheckChapter(facts),
      ...notesChapter(facts),
      ...sourcesChapter(facts),
      ...capturesChapter(facts),
      ...cautionsChapter(facts),
      ...checkingChapter(facts),
    ],
  };
}

function firstPage(facts: PacketFacts, title: string, revision: string): Block[] {
  const { contents, judgement, captures } = facts;
  const gaps = coverageGaps(facts);
  const { freeze } = contents;
  const required = contents.requirements.length > 0 && judgement !== null;
  return [
    { kind: 'heading', level: 1, text: title },
    ...(contents.isInvented
      ? [
          {
            kind: 'paragraph',
            tone: 'plain',
            text: 'Invented demonstration data. Nothing here was measured on hardware.',
          } as const,
        ]
      : []),
    {
      kind: 'paragraph',
      tone: 'lead',
      text: required
        ? `${judgement.heading} ${judgement.sentence}`
        : 'Nothing is required yet, so this packet passes nothing: it holds the evidence only.',
    },
    {
      kind: 'box',
      title: 'What this packet does not show',
      items:
        gaps.length === 0
          ? ['Nothing that is required was left out; see the coverage in the chapter on requirements.']
          : gaps,
    },
    {
      kind: 'facts',
      pairs: [
        ['sign-off packet', revision],
        ['date', formatDate(contents.at)],
        ...(freeze === null
          ? []
          : [['frozen by', freeze.by] as const, ['note', freeze.note === '' ? '–' : freeze.note] as const]),
        [
          'captures',
          `${captures.length}, of them ${captures.filter(({ capture }) => capture.condition.role === 'item').length} of the item`,
        ],
        ['build states', contents.states.map(({ name }) => name).join(' → ') || 'none'],
        ['sources', String(contents.sources.length)],
        ['program', `spurledger ${contents.engineVersion}`],
      ],
    },
    ...(freeze === null || freeze.differs.length === 0
      ? []
      : [{ kind: 'box', title: `What differs from revision ${freeze.revision - 1}`, items: freeze.differs } as const]),
  ];
}

function checkingChapter({ contents }: PacketFacts): Block[] {
  return [
    { kind: 'heading', level: 2, text: 'How to check this packet' },
    {
      kind: 'list',
      items: [
        'manifest.sha256 lists the SHA-256 of every file in the common form: sha256sum -c manifest.sha256 checks it with nothing of ours.',
        'spurledger verify PACKET checks every sum, throws all results away, computes them again from traces and settings, and compares.',
        `Written by spurledger ${contents.engineVersion}. The same version must give the same bytes. Another version must give the same spurs, sources and statuses and every number within one millionth of its size (or 10⁻⁶ where it is smaller than one); sentences are not compared then.`,
        'traces/ holds every trace as CSV: frequency in Hz, level in the stated unit, each number in the shortest decimal form that reads back to the same double. captures/ holds the original files. packet.json holds settings, conditions, sources and states; results/ holds what was computed.',
        'signature.json, where there is one, is an Ed25519 signature (RFC 8032) over the bytes of manifest.sha256. Ask the signer for the public key by another way than this packet.',
        'Sums and recomputation show that results follow from the traces. That the traces are those of this build, only a signature and the people behind it can say.',
      ],
    },
  ];
}
