import type { TriageView } from '../../src-main/api/contract.ts';
import type { EvidenceView } from '../../src-main/api/contract/evidence-calls.ts';
import type { Cause, LineExplanation } from '../../src-main/model/attribution.ts';
import type { Band } from '../../src-main/model/band.ts';
import type { Decision } from '../../src-main/model/decision.ts';
import type { DecisionStanding, Evidence } from '../../src-main/model/evidence.ts';
import type { Spur } from '../../src-main/model/spur.ts';
import { CAUSE_WORDS, tagOf } from './source-names.ts';
import type { SourceNames } from './source-names.ts';

/** One spur with everything the list, the marks and the slip say of it. */
export interface SpurRow {
  readonly index: number;
  readonly number: number;
  readonly spur: Spur;
  readonly explanation: LineExplanation;
  readonly cause: Cause;
  /** Source name, or the cause in words where no single source is meant. */
  readonly word: string;
  readonly tag: string;
  readonly decision: Decision | null;
  /** How the decision stands against the evidence; null without either. */
  readonly standing: DecisionStanding | null;
  /** What other captures say of it. */
  readonly evidence: readonly Evidence[];
  readonly band: Band | null;
  /** 1-based channel of its band; null without a grid. */
  readonly channel: number | null;
  /** Height of the spur that its band allows, in dB over the floor; null where nothing is required. */
  readonly allowedDb: number | null;
  /** Positive: clear of what is allowed. Negative: over it. */
  readonly marginDb: number | null;
}

export function allowedLevelDb(band: Band, floorDb: number, unit: string): number | null {
  if (band.allowedOverFloorDb !== null) return floorDb + band.allowedOverFloorDb;
  if (band.allowedLevel !== null && band.allowedUnit === unit) return band.allowedLevel;
  return null;
}

/**
 * A decision holds for the spur it was found to mean (source and harmonic first); before that is known, for the spur nearest its frequency,
 * within five standard deviations or half the spur's width.
 */
function decisionFor(
  spur: Spur,
  index: number,
  decisions: readonly Decision[],
  standings: readonly DecisionStanding[],
): Decision | null {
  const reach = Math.max(5 * spur.frequencySigmaHz, spur.widthHz / 2);
  let latest: Decision | null = null;
  for (const decision of decisions) {
    const standing = standings.find(({ decisionId }) => decisionId === decision.id);
    const holds =
      standing === undefined ? Math.abs(decision.frequencyHz - spur.frequencyHz) <= reach : standing.spur === index;
    if (holds && (latest === null || decision.id > latest.id)) latest = decision;
  }
  return latest;
}

export function spurRows(
  triage: TriageView,
  names: SourceNames,
  bands: readonly Band[],
  decisions: readonly Decision[],
  unit: string,
  weighed: EvidenceView | null = null,
): readonly SpurRow[] {
  return triage.spurs.map((spur, index) => {
    const explanation = triage.explanations[index] ?? { cause: 'unexplained', candidates: [], why: '' };
    const band = bands.find((b) => spur.frequencyHz >= b.lowHz && spur.frequencyHz <= b.highHz) ?? null;
    const channel =
      band?.channelHz == null
        ? null
        : Math.floor((spur.frequencyHz - (band.channelOriginHz ?? band.lowHz)) / band.channelHz) + 1;
    const allowedDb = band === null ? null : allowedLevelDb(band, spur.floorDb, unit);
    const first = explanation.candidates[0];
    const decision = decisionFor(spur, index, decisions, weighed?.decisions ?? []);
    return {
      index,
      number: index + 1,
      spur,
      explanation,
      cause: explanation.cause,
      word: explanation.cause === 'source' && first ? names.candidate(first).name : CAUSE_WORDS[explanation.cause],
      tag: tagOf(explanation, names),
      decision,
      standing: weighed?.decisions.find((entry) => entry.decisionId === decision?.id) ?? null,
      evidence: weighed?.explanations[index]?.evidence ?? [],
      band,
      channel,
      allowedDb,
      marginDb: allowedDb === null ? null : allowedDb - spur.levelDb,
    };
  });
}

export type SortKey = 'number' | 'cause' | 'tag' | 'frequency' | 'doubt' | 'level' | 'over' | 'margin' | 'decided';

export interface Sieve {
  readonly text: string;
  readonly cause: Cause | null;
  readonly source: string | null;
}

export const OPEN_SIEVE: Sieve = { text: '', cause: null, source: null };

export function sift(rows: readonly SpurRow[], sieve: Sieve): readonly SpurRow[] {
  const needle = sieve.text.trim().toLowerCase();
  return rows.filter((row) => {
    if (sieve.cause !== null && row.cause !== sieve.cause) return false;
    if (sieve.source !== null && !row.explanation.candidates.some((c) => c.source === sieve.source)) return false;
    if (needle === '') return true;
    const mhz = (row.spur.frequencyHz / 1e6).toFixed(6);
    return `${row.number} ${row.word} ${row.tag} ${mhz} ${row.explanation.why} ${row.decision?.note ?? ''}`
      .toLowerCase()
      .includes(needle);
  });
}

const VALUE: Readonly<Record<SortKey, (row: SpurRow) => number | string | null>> = {
  number: (row) => row.number,
  cause: (row) => row.word,
  tag: (row) => row.tag,
  frequency: (row) => row.spur.frequencyHz,
  doubt: (row) => row.spur.frequencySigmaHz,
  level: (row) => row.spur.levelDb,
  over: (row) => row.spur.overFloorDb,
  margin: (row) => row.marginDb,
  decided: (row) => row.decision?.kind ?? null,
};

const collator = new Intl.Collator('en', { numeric: true });

/** A sorted copy; equal values keep the order of frequency, and what has no value comes last either way. */
export function sorted(rows: readonly SpurRow[], key: SortKey, descending: boolean): readonly SpurRow[] {
  const value = VALUE[key];
  const sign = descending ? -1 : 1;
  return rows.toSorted((a, b) => {
    const x = value(a);
    const y = value(b);
    if (x === null || y === null) return (x === null ? 1 : 0) - (y === null ? 1 : 0) || a.index - b.index;
    const order = typeof x === 'number' && typeof y === 'number' ? x - y : collator.compare(String(x), String(y));
    return sign * order || a.index - b.index;
  });
}
