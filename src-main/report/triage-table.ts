import type { CombBelow } from '../model/comb-below.ts';
import type { Comb } from '../model/comb.ts';
import type { SpreadEstimate } from '../model/line-family.ts';
import type { LineExplanation } from '../model/attribution.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import type { Spur } from '../model/spur.ts';
import { applyCondition } from '../model/apply-condition.ts';
import { fromDecibels } from '../units/levels.ts';
import { fixed, frequencyHzText, frequencyText, levelText, significant } from './figures.ts';
import type { SpurBand } from './spur-document.ts';
import { table, type Column } from './table.ts';
import { terminalText } from './terminal-text.ts';
import { saidOf, type TriagedCapture } from './triage-document.ts';

/** One capture's triage for a reader at a terminal. Ends with a line end. */
export function triageTable(input: TriagedCapture): string {
  const { capture, trace, triage, condition } = input;
  const { combs, notSeen } = saidOf(input);
  const taken = applyCondition(trace.settings, condition);
  const spurs = triage.spurs.length;
  const head = [
    `${capture.file}: ${spurs === 0 ? 'no spur' : spurs === 1 ? 'one spur' : `${spurs} spurs`} in ${trace.frequencyHz.length} points from ` +
      `${frequencyText(trace.frequencyHz[0]!)} to ${frequencyText(trace.frequencyHz.at(-1)!)}`,
    `  RBW ${taken.rbwHz === null ? 'unknown' : frequencyText(taken.rbwHz)}, ` +
      `averages ${taken.averages ?? 'unknown'} (${taken.averaging}), detector ${taken.detector}, levels in ${trace.unit.name}`,
    `  ${triage.floor.why}`,
    `  weakest line found with probability 0.95: ${fixed(triage.floor.weakestDetectableOverFloorDb, 1)} dB over the floor; ` +
      `noise detections expected: ${significant(triage.floor.falseAlarmsExpected, 2)}`,
  ];
  const parts = [head.map(terminalText).join('\n') + '\n'];
  if (spurs > 0) parts.push(spurTable(input));
  if (combs.length > 0) parts.push(table(COMB_COLUMNS, combs));
  const families = (triage.families ?? []).map(({ kind, why }) => `${kind}: ${why}`);
  const spreads = (triage.spreads ?? []).map(spreadText);
  if (families.length + spreads.length > 0) parts.push([...families, ...spreads].map(terminalText).join('\n') + '\n');
  const below = (triage.below ?? []).filter(({ harmonicsStacked }) => harmonicsStacked > 0);
  if (below.length > 0) parts.push(table(BELOW_COLUMNS, below));
  if (notSeen.length > 0) {
    parts.push(notSeen.map(({ source, reason }) => terminalText(`${source}: not seen, ${reason}`)).join('\n') + '\n');
  }
  return parts.join('\n');
}

interface SpurRow {
  readonly spur: Spur;
  readonly explanation: LineExplanation;
  readonly band: SpurBand | null;
}

function spurTable(input: TriagedCapture): string {
  const { unit } = input.trace;
  const { triage, bands } = input;
  const { explanations } = saidOf(input);
  const rows = triage.spurs.map((spur, i): SpurRow => ({
    spur,
    explanation: explanations[i]!,
    band: bands[i] ?? null,
  }));
  // Without bands there is nothing to say in these columns.
  const columns = bands.length > 0 ? [...spurColumns(unit), ...BAND_COLUMNS] : spurColumns(unit);
  return table(columns, rows);
}

function spurColumns(unit: LevelUnit): readonly Column<SpurRow>[] {
  const level = (levelDb: number) => levelText(fromDecibels(levelDb, unit), unit.scale === 'decibel');
  return [
    {
      head: 'frequency [Hz]',
      align: 'right',
      cell: ({ spur }) => frequencyHzText(spur.frequencyHz, spur.frequencySigmaHz),
    },
    { head: '± [Hz]', align: 'right', cell: ({ spur }) => significant(spur.frequencySigmaHz, 2) },
    { head: `level [${unit.name}]`, align: 'right', cell: ({ spur }) => level(spur.levelDb) },
    { head: '± [dB]', align: 'right', cell: ({ spur }) => fixed(spur.levelSigmaDb, 2) },
    { head: 'over floor [dB]', align: 'right', cell: ({ spur }) => fixed(spur.overFloorDb, 1) },
    { head: 'width [Hz]', align: 'right', cell: ({ spur }) => significant(spur.widthHz, 3) },
    { head: 'shape', align: 'left', cell: ({ spur }) => spur.shape },
    { head: 'cause', align: 'left', cell: ({ explanation }) => explanation.cause },
    { head: 'candidates', align: 'left', cell: ({ explanation }) => candidatesText(explanation) },
    {
      head: 'chance',
      align: 'right',
      cell: ({ explanation }) => significant(explanation.candidates[0]?.chance ?? null, 2),
    },
  ];
}

const BAND_COLUMNS: readonly Column<SpurRow>[] = [
  { head: 'band', align: 'left', cell: ({ band }) => band?.name ?? '-' },
  { head: 'over allowed [dB]', align: 'right', cell: ({ band }) => fixed(band?.overAllowedDb ?? null, 1) },
];

/** `U7 × 24, or U9 × 25`: best first, at most three. */
export function candidatesText({ candidates }: LineExplanation): string {
  const named = candidates.slice(0, 3).map(({ source, harmonic }) => `${source ?? 'unknown comb'} × ${harmonic}`);
  return named.join(', or ') + (candidates.length > 3 ? `, and ${candidates.length - 3} more` : '');
}

const COMB_COLUMNS: readonly Column<Comb>[] = [
  {
    head: 'comb',
    align: 'left',
    cell: (comb) => comb.source ?? (comb.couldAlsoBe.length > 0 ? 'ambiguous' : 'not in the register'),
  },
  {
    head: 'fundamental [Hz]',
    align: 'right',
    cell: (comb) => frequencyHzText(comb.fundamentalHz, comb.fundamentalSigmaHz),
  },
  { head: '± [Hz]', align: 'right', cell: (comb) => significant(comb.fundamentalSigmaHz, 2) },
  { head: 'seen', align: 'right', cell: (comb) => String(comb.harmonicsSeen.length) },
  { head: 'expected', align: 'right', cell: (comb) => String(comb.harmonicsExpected.length) },
  { head: 'chance', align: 'right', cell: (comb) => significant(comb.chance, 2) },
  { head: 'could also be', align: 'left', cell: (comb) => comb.couldAlsoBe.join(', ') },
];

const BELOW_COLUMNS: readonly Column<CombBelow>[] = [
  {
    head: 'below the threshold',
    align: 'left',
    cell: ({ source, couldAlsoBe }) =>
      [source, ...couldAlsoBe].filter((name) => name !== null).join(' or ') || 'not in the register',
  },
  { head: 'stacked', align: 'right', cell: (below) => String(below.harmonicsStacked) },
  { head: 'mean over floor [dB]', align: 'right', cell: (below) => fixed(below.meanOverFloorDb, 1) },
  { head: '± [dB]', align: 'right', cell: (below) => fixed(below.sigmaDb, 1) },
  { head: '95 % limit [dB]', align: 'right', cell: (below) => fixed(below.upperLimitOverFloorDb, 1) },
  { head: 'chance', align: 'right', cell: (below) => significant(below.chance, 2) },
];

function spreadText({ source, statedPpm, estimatedPpm, sigmaPpm, humps }: SpreadEstimate): string {
  const stated = statedPpm === null ? 'none is registered' : `${significant(statedPpm, 3)} ppm are registered`;
  return `${source}: sweeps by ${significant(estimatedPpm, 3)} ± ${significant(sigmaPpm, 2)} ppm peak to peak, as the widths of ${humps} humps tell; ${stated}`;
}
