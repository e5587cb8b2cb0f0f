import type { ReferenceUse } from '../../model/evidence.ts';
import type { Judgement } from '../../model/judgement.ts';
import type { PacketCapture, PacketComparison, PacketContents } from '../../model/packet.ts';
import type { Recheck, RecheckJudgement } from '../../model/recheck.ts';
import type { Comparison } from '../../model/track.ts';
import type { Triage } from '../../model/triage.ts';
import type { PlotColumns } from './plot-columns.ts';

export interface CaptureFacts {
  readonly capture: PacketCapture;
  /** The floor's columns may be empty here: print draws those of `columns`. */
  readonly triage: Triage;
  /** Which other captures were weighed in, and as what. */
  readonly references: readonly ReferenceUse[];
  /** Name of the unit that holds: the condition's where it states one. */
  readonly unitName: string;
  readonly columns: PlotColumns;
  /** What the calibration chain adds to the doubt of each spur's level, one standard deviation; left out: it has no chain. */
  readonly chainSigmaDb?: readonly number[];
  /** True where reading the original file again gives these traces to the last bit. */
  readonly followsFromFile: boolean;
}

export interface ComparisonFacts {
  readonly asked: PacketComparison;
  readonly result: Comparison;
  readonly sentence: string;
}

export interface RecheckFacts {
  readonly recheck: Recheck;
  readonly judgement: RecheckJudgement;
}

/** What a packet says: its contents, and everything computed from them. */
export interface PacketFacts {
  readonly contents: PacketContents;
  readonly captures: readonly CaptureFacts[];
  readonly comparisons: readonly ComparisonFacts[];
  /** Null where the register has no state to judge. */
  readonly judgement: Judgement | null;
  readonly rechecks: readonly RecheckFacts[];
}

/** The state a packet is about: with a freeze the frozen one, else the last by its date; null without states. */
export function finalState({ freeze, states }: PacketContents) {
  if (freeze !== null) return states.find(({ id }) => id === freeze.stateId) ?? null;
  return [...states].sort((a, b) => Date.parse(a.at) - Date.parse(b.at) || a.id - b.id).at(-1) ?? null;
}

/** Letter of a source as the register gave it; the designator itself for one that is not in it. */
export function lettersOf({ sources }: PacketContents): (designator: string) => string {
  const letters = new Map(sources.map(({ letter, source }) => [source.designator, letter]));
  return (designator) => letters.get(designator) ?? designator;
}
