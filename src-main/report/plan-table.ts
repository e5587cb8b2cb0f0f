import type { Plan, PlannedSource } from '../model/plan.ts';
import { fixed, significant } from './figures.ts';
import type { ReportedPlanning } from './plan-document.ts';
import { table, type Column } from './table.ts';
import { terminalText } from './terminal-text.ts';

/** A search for better settings for a reader at a terminal. Ends with a line end. */
export function planTable({ planning, risks }: ReportedPlanning): string {
  const { today, plans, bands, settings } = planning;
  const channels = bands.reduce((sum, band) => sum + band.channels, 0);
  const best = plans.reduce((least, plan) => (plan.lostWeight < least.lostWeight ? plan : least), today);
  const sentence =
    best === today
      ? `Nothing that may be changed brings a channel back: ${today.lostChannels} of ${channels} channels may be lost today.`
      : `${counted(best.changes, 'change')} would leave ${best.lostChannels} of ${channels} channels lost instead of ${today.lostChannels}.`;
  const proof = planning.isExact
    ? 'Proven to be the least of all settings tried.'
    : `No plan can lose less than ${significant(planning.lowerBoundWeight, 4)} (weighted): the best may be ${fixed(100 * planning.boundGap, 1)} % from the least.`;
  const parts = [
    `${terminalText(sentence)}\n${proof}\nseed ${settings.seed}`,
    table(
      PLAN_COLUMNS,
      [today, ...plans].map((plan, i) => ({ plan, name: i === 0 ? 'today' : String(i), risks: risks[i] })),
    ),
    `What each source costs today\n${table(
      SOURCE_COLUMNS,
      today.sources.map((source, i) => ({ source, hz: today.settings[i]!.nominalHz })),
    )}`,
  ];
  plans.forEach((plan, i) => parts.push(`Plan ${i + 1}\n${table(CHANGE_COLUMNS, changesOf(plan))}`));
  if (planning.commonClocks.length > 0)
    parts.push(`One new clock for all that may change\n${table(CLOCK_COLUMNS, planning.commonClocks)}`);
  parts.push([...planning.assumptions].map((line) => terminalText(line)).join('\n') + '\n');
  return parts.map((part) => (part.endsWith('\n') ? part : `${part}\n`)).join('\n');
}

interface Row {
  readonly plan: Plan;
  readonly name: string;
  readonly risks: ReportedPlanning['risks'][number] | undefined;
}

const PLAN_COLUMNS: readonly Column<Row>[] = [
  { head: 'plan', align: 'left', cell: ({ name }) => name },
  { head: 'changes', align: 'right', cell: ({ plan }) => String(plan.changes) },
  { head: 'lost weight', align: 'right', cell: ({ plan }) => significant(plan.lostWeight, 6) },
  { head: 'lost channels', align: 'right', cell: ({ plan }) => String(plan.lostChannels) },
  { head: 'drawn: median', align: 'right', cell: ({ risks }) => String(risks?.robustness.medianChannels ?? '-') },
  { head: '95 % below', align: 'right', cell: ({ risks }) => String(risks?.robustness.highChannels ?? '-') },
  { head: 'worst lost lock', align: 'right', cell: ({ risks }) => String(risks?.lostLocks[0]?.lostChannels ?? '-') },
  { head: 'beats', align: 'right', cell: ({ risks }) => String(risks?.beats.length ?? '-') },
];

const SOURCE_COLUMNS: readonly Column<{ source: PlannedSource; hz: number }>[] = [
  { head: 'source', align: 'left', cell: ({ source }) => source.source },
  { head: 'at [Hz]', align: 'right', cell: ({ hz }) => significant(hz, 9) },
  { head: '± [ppm]', align: 'right', cell: ({ source }) => significant(source.halfWidthPpm, 3) },
  { head: 'alone', align: 'right', cell: ({ source }) => String(source.soleChannels) },
  { head: 'shared', align: 'right', cell: ({ source }) => String(source.sharedChannels) },
  {
    head: 'blurs from harmonic',
    align: 'right',
    cell: ({ source }) => (source.blursInBand ? String(source.blursFromHarmonic) : '-'),
  },
];

interface Change {
  readonly source: string;
  readonly hz: number;
  readonly lock: string;
}

function changesOf(plan: Plan): readonly Change[] {
  return plan.settings
    .filter((_, i) => plan.sources[i]!.changed)
    .map(({ source, nominalHz, lockedTo, lockNumerator, lockDenominator }) => ({
      source,
      hz: nominalHz,
      lock: lockedTo === null ? 'free' : `${lockedTo} x ${lockNumerator} / ${lockDenominator}`,
    }));
}

const CHANGE_COLUMNS: readonly Column<Change>[] = [
  { head: 'source', align: 'left', cell: ({ source }) => source },
  { head: 'to [Hz]', align: 'right', cell: ({ hz }) => significant(hz, 9) },
  { head: 'runs', align: 'left', cell: ({ lock }) => lock },
];

const CLOCK_COLUMNS: readonly Column<ReportedPlanning['planning']['commonClocks'][number]>[] = [
  { head: 'clock [Hz]', align: 'right', cell: ({ clockHz }) => significant(clockHz, 9) },
  { head: 'lost channels', align: 'right', cell: ({ lostChannels }) => String(lostChannels) },
  {
    head: 'dividers',
    align: 'left',
    cell: ({ dividers }) => dividers.map(({ source, divider }) => `${source} / ${divider}`).join(', '),
  },
];

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
