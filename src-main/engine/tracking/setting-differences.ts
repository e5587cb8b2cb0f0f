import type { Averaging, Detector } from '../../model/capture.ts';
import type { CommonUnit } from './side-trace.ts';
import type { SideTrace } from './side-trace.ts';
import { listed } from './side-trace.ts';

/** What differing settings of the two sides allow to be said. */
export interface SettingDifferences {
  readonly warnings: readonly string[];
  /** Levels of the two sides may be off against each other by this much, because a gain may or may not be taken into account. */
  readonly gainDoubtDb: number;
  /** What differing calibration chains add to the doubt of a change, one standard deviation; 0 where both sides have the same one. */
  readonly chainSigmaDb: number;
  /** Why a fall proves nothing; null where it does. */
  readonly dropDoubt: string | null;
  /** Why a rise proves nothing; null where it does. */
  readonly riseDoubt: string | null;
}

/** As much of a trace as its settings are told from. */
export type SettledTrace = Pick<SideTrace, 'taken' | 'frequencyHz' | 'rbwStated' | 'spacingHz'> & {
  readonly triaged: Pick<SideTrace['triaged'], 'condition' | 'chain'>;
};

/** Detectors and averages that keep what came only now and then. */
const KEEPS_PEAKS: readonly (Detector | Averaging)[] = ['positive-peak', 'quasi-peak', 'normal', 'max-hold'];

/**
 * Names every setting that differs between the sides, and what follows from it.
 *
 * The power of a steady line depends on none of RBW, detector, averaging or spacing; noise and wandering or pulsed lines do. A side
 * that keeps peaks shows a line that comes now and then at its full height, a side that averages shows it lower or not at all: from
 * one to the other a fall (or, the other way, a rise) proves nothing about the build.
 */
export function settingDifferences(
  before: readonly SettledTrace[],
  after: readonly SettledTrace[],
  unit: CommonUnit,
): SettingDifferences {
  const warnings: string[] = [];
  const differ = (name: string, of: (trace: SettledTrace) => string | number | null, consequence: string): void => {
    const said = (traces: readonly SettledTrace[]) => [...new Set(traces.map((trace) => of(trace) ?? 'not stated'))];
    const left = said(before);
    const right = said(after);
    const same = left.length === right.length && left.every((value) => right.includes(value));
    if (!same)
      warnings.push(
        `${name} differs: ${listed(left.map(String))} before, ${listed(right.map(String))} after; ${consequence}`,
      );
  };
  differ(
    'RBW',
    (trace) => (trace.taken.rbwHz === null ? null : `${trace.taken.rbwHz} Hz`),
    'the power of a line does not depend on it; floors do, and humps are integrated over their width',
  );
  if ([...before, ...after].some((trace) => !trace.rbwStated))
    warnings.push(
      'RBW is not stated on every side: taken from the width of the lines found, else from the spacing of points',
    );
  differ('detector', (trace) => trace.taken.detector, 'steady lines read alike, pulsed or wandering ones do not');
  differ('averaging', (trace) => trace.taken.averaging, 'steady lines read alike, pulsed or wandering ones do not');
  differ('number of averages', (trace) => trace.taken.averages, 'each side is judged by its own noise');
  differ(
    'attenuation',
    (trace) => asDb(trace.taken.attenuationDb),
    'the floor moves with it, and lines made inside the analyser do',
  );
  differ(
    'role',
    (trace) => trace.triaged.condition?.role ?? 'item',
    'the two sides do not show the same thing: differences need not be the work of a fix',
  );
  differ(
    'operating mode',
    (trace) => trace.triaged.condition?.mode ?? null,
    'differences need not be the work of a fix',
  );
  differ('measuring point', (trace) => trace.triaged.condition?.point ?? null, 'levels at two points do not compare');
  const gains = (traces: readonly SettledTrace[]) =>
    traces.map((trace) => trace.taken.gainDb).filter((gain) => gain !== null);
  const gainDoubtDb = largestDifference(gains(before), gains(after));
  differ(
    'gain',
    (trace) => asDb(trace.taken.gainDb),
    `whether the levels were corrected for it is not known; every change is doubted by ${gainDoubtDb.toFixed(1)} dB`,
  );
  differ(
    'gain state',
    (trace) => trace.taken.gainState ?? null,
    'what the receiver adds differs with it; levels compare where each side is freed of its own channel response',
  );
  const chainSigmaDb = chainDoubt(before, after);
  const chainOf = (trace: SettledTrace): string => trace.triaged.chain?.name ?? 'none';
  if ([...before, ...after].some(({ triaged }) => triaged.chain !== undefined)) {
    const hasSameName = new Set([...before, ...after].map(chainOf)).size === 1;
    differ(
      'calibration chain',
      (trace) => (hasSameName ? (trace.triaged.chain?.key ?? null) : chainOf(trace)),
      `what its tables are in doubt by does not cancel: ± ${chainSigmaDb.toFixed(2)} dB is added to every change`,
    );
  }
  differ('span', spanOf, 'a line outside one of them is uncovered');
  differ(
    'spacing of points',
    (trace) => `${Number(trace.spacingHz.toPrecision(4))} Hz`,
    'lines are matched within the coarser one',
  );

  const keeps = (traces: readonly SettledTrace[]) =>
    traces.some((trace) => KEEPS_PEAKS.includes(trace.taken.detector) || KEEPS_PEAKS.includes(trace.taken.averaging));
  const averages = (traces: readonly SettledTrace[]) => traces.some((trace) => !keeps([trace]) && isStated(trace));
  const states = new Set([...before, ...after].map((trace) => trace.taken.gainState ?? null));
  const freed = [...before, ...after].every((trace) => (trace.taken.channelResponse ?? '') !== '');
  // two gains in decibels that are stated doubt every change by their difference already
  const gainsStated = [...before, ...after].every((trace) => trace.taken.gainDb !== null);
  const gainDoubt =
    states.size > 1 && !states.has(null) && !freed && !gainsStated
      ? 'the receiver was in another gain state, and nothing says by how many decibels'
      : null;
  const doubt = 'one side keeps peaks and the other averages, so a line that comes now and then differs by itself';
  return {
    warnings: unit.comparable ? warnings : warnings.filter((text) => !text.startsWith('gain')),
    gainDoubtDb,
    chainSigmaDb,
    dropDoubt: gainDoubt ?? (keeps(before) && averages(after) ? doubt : null),
    riseDoubt: gainDoubt ?? (keeps(after) && averages(before) ? doubt : null),
  };
}

/** Doubts of unlike chains add; of one and the same chain they move both sides alike. */
function chainDoubt(before: readonly SettledTrace[], after: readonly SettledTrace[]): number {
  if (new Set([...before, ...after].map(({ triaged }) => triaged.chain?.key)).size <= 1) return 0;
  const largest = (traces: readonly SettledTrace[]): number =>
    traces.reduce((most, { triaged }) => Math.max(most, triaged.chain?.sigmaDb ?? 0), 0);
  return Math.hypot(largest(before), largest(after));
}

function isStated(trace: SettledTrace): boolean {
  return trace.taken.detector !== 'unknown' || trace.taken.averaging !== 'unknown';
}

function asDb(value: number | null): string | null {
  return value === null ? null : `${value} dB`;
}

function spanOf(trace: SettledTrace): string {
  const { frequencyHz } = trace;
  return `${Number(frequencyHz[0]!.toPrecision(6))} to ${Number(frequencyHz[frequencyHz.length - 1]!.toPrecision(6))} Hz`;
}

function largestDifference(left: readonly number[], right: readonly number[]): number {
  let largest = 0;
  for (const a of left) for (const b of right) largest = Math.max(largest, Math.abs(a - b));
  return largest;
}
