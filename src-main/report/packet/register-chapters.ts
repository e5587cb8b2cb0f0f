import { cautionsFor } from '../../model/cautions.ts';
import { formatDecimal, formatFrequency, formatPpm, NO_VALUE } from '../../units/format.ts';
import type { Block } from './document.ts';
import { finalState, type PacketFacts } from './packet-facts.ts';

/** What the evidence hangs on: boards with serial and revision, firmware, lid. */
export function buildChapter({ contents }: PacketFacts): Block[] {
  const state = finalState(contents);
  return [
    { kind: 'heading', level: 2, text: 'The build' },
    ...(state === null
      ? [{ kind: 'paragraph', tone: 'plain', text: 'No build state is registered.' } as const]
      : [
          {
            kind: 'table',
            caption: `Configuration of state ${state.name}: ${state.description}`,
            columns: [
              { head: 'item', align: 'left', share: 24 },
              { head: 'serial', align: 'left', share: 20 },
              { head: 'revision', align: 'left', share: 14 },
              { head: 'detail', align: 'left', share: 42 },
            ],
            rows: state.configuration.map(({ item, serial, revision, detail }) => [
              item,
              orNone(serial),
              orNone(revision),
              orNone(detail),
            ]),
          } as const,
        ]),
  ];
}

/** The source register as it was. */
export function sourcesChapter({ contents }: PacketFacts): Block[] {
  return [
    { kind: 'heading', level: 2, text: 'Source register' },
    {
      kind: 'table',
      caption: 'Tolerance is ± about nominal. “Locked” sources follow another at a ratio.',
      columns: [
        { head: 'letter', align: 'left', share: 9 },
        { head: 'designator', align: 'left', share: 16 },
        { head: 'kind', align: 'left', share: 10 },
        { head: 'nominal', align: 'right', share: 13 },
        { head: 'tolerance', align: 'right', share: 10 },
        { head: 'locked or fed', align: 'left', share: 17 },
        { head: 'owner', align: 'left', share: 9 },
        { head: 'serial', align: 'left', share: 10 },
        { head: 'notes', align: 'left', share: 22 },
      ],
      rows: contents.sources.map(({ letter, source }) => [
        letter,
        source.designator,
        source.kind,
        formatFrequency(source.nominalHz),
        source.tolerancePpm === null ? 'default' : formatPpm(source.tolerancePpm),
        [
          source.lock === null ? '' : `${source.lock.to} × ${source.lock.numerator}/${source.lock.denominator}`,
          source.fedBy === null ? '' : `fed by ${source.fedBy}`,
        ]
          .filter((text) => text !== '')
          .join('; ') || NO_VALUE,
        source.owner,
        orNone(source.serial),
        orNone(source.notes),
      ]),
    },
    {
      kind: 'table',
      caption: 'Protected bands',
      columns: [
        { head: 'band', align: 'left', share: 20 },
        { head: 'from', align: 'right', share: 15 },
        { head: 'to', align: 'right', share: 15 },
        { head: 'channel', align: 'right', share: 14 },
        { head: 'allowed over floor', align: 'right', share: 16 },
        { head: 'allowed level', align: 'right', share: 20 },
      ],
      rows: contents.bands.map((band) => [
        band.name,
        formatFrequency(band.lowHz),
        formatFrequency(band.highHz),
        band.channelHz === null ? NO_VALUE : formatFrequency(band.channelHz),
        band.allowedOverFloorDb === null ? NO_VALUE : `${formatDecimal(band.allowedOverFloorDb, 1)} dB`,
        band.allowedLevel === null ? NO_VALUE : `${formatDecimal(band.allowedLevel, 1)} ${band.allowedUnit ?? ''}`,
      ]),
    },
  ];
}

/** Measuring points with what can hurt there. */
export function cautionsChapter({ contents }: PacketFacts): Block[] {
  if (contents.points.length === 0) return [];
  return [
    { kind: 'heading', level: 2, text: 'Measuring points and cautions' },
    ...contents.points.flatMap((point): Block[] => [
      { kind: 'heading', level: 3, text: point.name },
      {
        kind: 'facts',
        pairs: [
          ['kind', point.kind.replaceAll('-', ' ')],
          ['where', orNone(point.where)],
          ['coupling', orNone(point.coupling)],
          ['conductors', orNone(point.conductors)],
          ['orientation', orNone(point.orientation)],
          ['height', point.heightM === null ? NO_VALUE : `${formatDecimal(point.heightM, 2)} m`],
          ['bonding', orNone(point.bonding)],
          ['notes', orNone(point.notes)],
        ],
      },
      { kind: 'list', items: cautionsFor(point.kind) },
    ]),
  ];
}

export function orNone(text: string): string {
  return text.trim() === '' ? NO_VALUE : text;
}
