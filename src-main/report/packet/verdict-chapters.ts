import { LIMIT_NOT_CONFIRMED } from '../../model/limit-line.ts';
import type { Disposition } from '../../model/disposition.ts';
import type { TemperatureRange } from '../../model/requirement.ts';
import type { Verdict } from '../../model/verdict.ts';
import { formatDecimal, formatFrequency, formatSigned, NO_VALUE } from '../../units/format.ts';
import { formatDate } from './date-text.ts';
import type { Block } from './document.ts';
import type { PacketFacts } from './packet-facts.ts';

/** Every requirement with its verdicts; the numbers and the sentence of each, and the coverage. */
export function requirementsChapter({ contents, judgement }: PacketFacts): Block[] {
  const heading: Block = { kind: 'heading', level: 2, text: 'Requirements and verdicts' };
  if (contents.requirements.length === 0 || judgement === null)
    return [heading, { kind: 'paragraph', tone: 'plain', text: 'Nothing is required yet. No verdict is given.' }];
  const fileOf = new Map(contents.captures.map(({ id, file }) => [id, file]));
  return [
    heading,
    {
      kind: 'table',
      caption: `Levels with their bounds at ${formatDecimal(100 * judgement.settings.confidence)} % (one-sided); doubt counts against the build. “Not shown” is not a pass.`,
      columns: [
        { head: 'requirement', align: 'left', share: 12 },
        { head: 'band', align: 'left', share: 9 },
        { head: 'mode, temperature, point', align: 'left', share: 16 },
        { head: 'ruling', align: 'left', share: 13 },
        { head: 'found', align: 'right', share: 13 },
        { head: 'allowed', align: 'right', share: 10 },
        { head: 'to spare', align: 'right', share: 8 },
        { head: 'limit', align: 'left', share: 14 },
      ],
      rows: judgement.verdicts.map((verdict) => [
        verdict.code,
        verdict.band ?? NO_VALUE,
        [verdict.mode ?? 'any mode', temperatureText(verdict.temperature), verdict.point ?? NO_VALUE].join(', '),
        rulingText(verdict),
        boundsText(verdict),
        valueText(verdict.allowed, verdict.unit),
        verdict.margin === null ? NO_VALUE : formatSigned(verdict.margin, 1),
        limitText(verdict),
      ]),
    },
    ...contents.requirements.flatMap((requirement): Block[] => {
      const own = judgement.verdicts.filter(({ requirementId }) => requirementId === requirement.id);
      const files = [...new Set(own.flatMap(({ captureIds }) => captureIds))].map(
        (id) => fileOf.get(id) ?? `capture ${id}`,
      );
      return [
        { kind: 'heading', level: 3, text: `${requirement.code}: ${requirement.text}` },
        {
          kind: 'list',
          items: own.map((verdict) => `${verdict.band ?? 'no band'}: ${rulingText(verdict)}. ${verdict.why}`),
        },
        {
          kind: 'paragraph',
          tone: 'small',
          text: files.length === 0 ? 'Rests on no capture.' : `Rests on ${files.join(', ')}.`,
        },
      ];
    }),
    {
      kind: 'table',
      caption: `Coverage of state ${contents.states.find(({ id }) => id === judgement.stateId)?.name ?? ''}: ${judgement.coverage.gaps} of the required combinations are not wholly covered.`,
      columns: [
        { head: 'mode', align: 'left', share: 14 },
        { head: 'temperature', align: 'left', share: 12 },
        { head: 'band', align: 'left', share: 12 },
        { head: 'point', align: 'left', share: 18 },
        { head: 'required', align: 'left', share: 9 },
        { head: 'covered', align: 'right', share: 9 },
        { head: 'captures', align: 'left', share: 26 },
      ],
      rows: judgement.coverage.cells.map((cell) => [
        cell.mode ?? 'any',
        temperatureText(cell.temperature),
        cell.band,
        cell.point,
        cell.isRequired ? 'yes' : 'no',
        `${formatDecimal(Math.floor(100 * cell.coveredShare))} %`,
        cell.captureIds.map((id) => fileOf.get(id) ?? String(id)).join(', ') || 'none',
      ]),
    },
    ...(judgement.warnings.length === 0 ? [] : [{ kind: 'list', items: judgement.warnings } as const]),
  ];
}

/** What was accepted in writing, and how it stands now. */
export function dispositionsChapter({ contents, judgement }: PacketFacts): Block[] {
  if (contents.dispositions.length === 0) return [];
  return [
    { kind: 'heading', level: 2, text: 'Accepted in writing' },
    {
      kind: 'table',
      caption:
        'Dispositions with reason, approver, scope and effectivity; the standing is that of this packet’s state.',
      columns: [
        { head: 'what', align: 'left', share: 22 },
        { head: 'reason', align: 'left', share: 24 },
        { head: 'approver, date', align: 'left', share: 16 },
        { head: 'scope', align: 'left', share: 16 },
        { head: 'standing', align: 'left', share: 22 },
      ],
      rows: contents.dispositions.map((disposition) => {
        const standing = judgement?.dispositions.find(({ dispositionId }) => dispositionId === disposition.id);
        return [
          subjectText(disposition),
          disposition.reason,
          `${disposition.approver}, ${formatDate(disposition.at)}${disposition.expiresOn === null ? '' : `, until ${disposition.expiresOn}`}`,
          scopeText(disposition),
          standing === undefined ? 'not judged' : `${standing.standing}. ${standing.why}`,
        ];
      }),
    },
  ];
}

export function rulingText({ ruling, reason }: Pick<Verdict, 'ruling' | 'reason'>): string {
  return ruling === 'not shown' ? `not shown: ${reason ?? 'no reason given'}` : ruling;
}

export function temperatureText(range: TemperatureRange | null): string {
  if (range === null) return 'any temperature';
  return range.lowC === range.highC
    ? `${formatDecimal(range.lowC)} °C`
    : `${formatDecimal(range.lowC)} to ${formatDecimal(range.highC)} °C`;
}

export function subjectText({ subject }: Disposition): string {
  switch (subject.kind) {
    case 'line':
      return `${subject.source === null ? 'line of no known source' : `${subject.source}, harmonic ${subject.harmonic ?? '?'}`} at ${formatFrequency(subject.frequencyHz)}, ${formatDecimal(subject.levelDb, 1)} ${subject.unit}`;
    case 'not-exercised':
      return `${subject.source} not known to have run`;
    case 'changed-item':
      return `${subject.item} ${subject.fromSerial} exchanged for ${subject.toSerial}`;
  }
}

export function scopeText({ scope }: Disposition): string {
  const parts = [
    ...(scope.serials.length === 0 ? [] : [`serials ${scope.serials.join(', ')}`]),
    ...(scope.modes.length === 0 ? [] : [`modes ${scope.modes.join(', ')}`]),
    ...(scope.bands.length === 0 ? [] : [`bands ${scope.bands.join(', ')}`]),
    ...(scope.points.length === 0 ? [] : [`points ${scope.points.join(', ')}`]),
    ...(scope.temperature === null ? [] : [temperatureText(scope.temperature)]),
  ];
  return parts.length === 0 ? 'everywhere' : parts.join('; ');
}

function valueText(value: number | null, unit: string): string {
  if (value === null) return NO_VALUE;
  return unit === 'channels' ? formatDecimal(value) : `${formatDecimal(value, 1)} ${unit}`;
}

function boundsText({ found, foundLow, foundHigh, unit }: Verdict): string {
  if (found === null) return NO_VALUE;
  const places = unit === 'channels' ? 0 : 1;
  const bounds =
    foundLow === null || foundHigh === null
      ? ''
      : ` (${formatDecimal(foundLow, places)} … ${formatDecimal(foundHigh, places)})`;
  return `${valueText(found, unit)}${bounds}`;
}

function limitText({ limit, isLimitConfirmed }: Verdict): string {
  return limit === null ? 'the band’s own' : isLimitConfirmed ? limit : `${limit}: ${LIMIT_NOT_CONFIRMED}`;
}
