import { applyCondition } from '../model/apply-condition.ts';
import type { CaptureSettings } from '../model/capture.ts';
import type { Condition } from '../model/condition.ts';
import type { Trace } from '../model/trace.ts';
import { settingDifferences } from './tracking/setting-differences.ts';

/** One capture as it would be used today. */
export interface FitCapture {
  readonly file: string;
  readonly trace: Trace;
  readonly condition: Condition | null;
  /** Tables of its chain with the day until which each holds. */
  readonly tables: readonly {
    readonly name: string;
    readonly dueOn: string | null;
    /** A channel's response holds for this gain state only. */
    readonly gainState?: string | null;
  }[];
}

/** Something that speaks against using a capture, or against comparing two sides. */
export interface FitProblem {
  /** `refuses`: levels must not be compared; `doubt`: they can be, with this in mind. */
  readonly weight: 'refuses' | 'doubt';
  /** Which matter: calibration, clipping, RBW … */
  readonly name: string;
  readonly message: string;
}

/** Common practice, no source: analysers are calibrated once a year. */
const CALIBRATED_FOR_DAYS = 365;
/**
 * A swept near-Gaussian filter needs at least this times span/RBW² to settle (a vendor's application note 150 on spectrum analysis, its
 * chapter on sweep time gives 2 to 3; from memory).
 */
const LEAST_SWEEP_FACTOR = 2;

/**
 * What speaks against using these captures, or comparing the two sides, before anything is computed. Each mismatch by name.
 *
 * @param today ISO 8601 day that calibrations are held against
 * @returns none where nothing is known against it, which is not the same as everything being known
 */
export function fitToCompare(
  before: readonly FitCapture[],
  after: readonly FitCapture[],
  today: string,
): readonly FitProblem[] {
  const each = [...before, ...after].flatMap((capture) =>
    ofOne(capture, today).map((problem) => ({ ...problem, message: `${capture.file}: ${problem.message}` })),
  );
  return before.length === 0 || after.length === 0 ? each : [...each, ...ofBoth(before, after)];
}

function ofOne(capture: FitCapture, today: string): FitProblem[] {
  const { trace, condition } = capture;
  const taken = applyCondition(trace.settings, condition);
  const problems: FitProblem[] = [];
  const add = (weight: FitProblem['weight'], name: string, message: string): void => {
    problems.push({ weight, name, message });
  };
  for (const { name, dueOn } of capture.tables)
    if (dueOn !== null && dueOn < today) add('doubt', 'calibration', `the table ${name} was due on ${dueOn}.`);
  for (const { name, gainState = null } of capture.tables) {
    const inState = taken.gainState ?? null;
    if (gainState === null || gainState === inState) continue;
    if (inState === null)
      add(
        'doubt',
        'gain state',
        `the response ${name} holds for the gain state ${gainState}, and its own is not stated.`,
      );
    else
      add(
        'refuses',
        'gain state',
        `the response ${name} holds for the gain state ${gainState}, and it was taken in ${inState}.`,
      );
  }
  const calibratedOn = condition?.calibratedOn ?? null;
  if (calibratedOn !== null && daysBetween(calibratedOn, today) > CALIBRATED_FOR_DAYS)
    add('doubt', 'calibration', `the instrument was last calibrated on ${calibratedOn}, more than a year ago.`);
  if ((taken.clippedSamples ?? 0) > 0)
    add(
      'doubt',
      'clipping',
      `${taken.clippedSamples} samples stand at full scale: lines of the converter’s own may be among the spurs.`,
    );
  if (trace.unit.name === 'unknown') add('refuses', 'unit', 'its unit is not stated, so levels compare with nothing.');
  aboutBandwidth(trace, taken, add);
  if (taken.detector === 'unknown')
    add(
      'doubt',
      'detector',
      'its detector is not stated: peaks read higher than averages where a line comes and goes.',
    );
  if (taken.averaging === 'unknown')
    add(
      'doubt',
      'trace mode',
      'it is not stated whether sweeps were averaged or held: the floor follows the trace’s own scatter.',
    );
  return problems;
}

function aboutBandwidth(
  { frequencyHz }: Trace,
  { rbwHz, sweepTimeS, computedLine }: CaptureSettings,
  add: (weight: FitProblem['weight'], name: string, message: string) => void,
): void {
  const spanHz = frequencyHz.at(-1)! - frequencyHz[0]!;
  const spacingHz = spanHz / Math.max(1, frequencyHz.length - 1);
  if (rbwHz === null) {
    add('doubt', 'RBW', 'its RBW is not stated: taken from the width of its lines, else from the spacing of points.');
    return;
  }
  if (spacingHz > 1.05 * rbwHz)
    add(
      'doubt',
      'RBW and spacing',
      `points lie ${figure(spacingHz / rbwHz)} resolution bandwidths apart: lines between two points may be missed.`,
    );
  const leastS = (LEAST_SWEEP_FACTOR * spanHz) / rbwHz ** 2;
  if (sweepTimeS !== null && (computedLine ?? null) === null && sweepTimeS < leastS)
    add(
      'doubt',
      'sweep time and RBW',
      `${figure(sweepTimeS)} s are too short for a swept filter of ${figure(rbwHz)} Hz over this span (at least ${figure(leastS)} s): lines read low and wide. Of no concern where the analyser computes its spectra.`,
    );
}

/** Differences of the two sides: the comparison's own list, with the unit and the calibration besides. */
function ofBoth(before: readonly FitCapture[], after: readonly FitCapture[]): FitProblem[] {
  const side = (captures: readonly FitCapture[]) =>
    captures.map(({ trace, condition }) => {
      const taken = applyCondition(trace.settings, condition);
      const { frequencyHz } = trace;
      return {
        taken,
        triaged: { condition },
        frequencyHz,
        rbwStated: true,
        spacingHz: (frequencyHz.at(-1)! - frequencyHz[0]!) / Math.max(1, frequencyHz.length - 1),
      };
    });
  const units = new Set([...before, ...after].map(({ trace }) => trace.unit.name));
  const differences = settingDifferences(side(before), side(after), { name: '', comparable: true }).warnings.map(
    (message): FitProblem => ({ weight: 'doubt', name: message.split(' differs')[0]!, message }),
  );
  const chains = (captures: readonly FitCapture[]) =>
    [...new Set(captures.map(({ tables }) => tables.map(({ name }) => name).join(' → ') || 'none'))].sort().join('; ');
  return [
    ...differences,
    ...(units.size > 1
      ? [
          {
            weight: 'doubt' as const,
            name: 'unit',
            message: `units differ: ${[...units].join(', ')}; levels are converted where a conversion exists`,
          },
        ]
      : []),
    ...(chains(before) === chains(after)
      ? []
      : [
          {
            weight: 'doubt' as const,
            name: 'calibration chain',
            message: `calibration chain differs: ${chains(before)} before, ${chains(after)} after; what one table says wrongly looks like the work of a fix`,
          },
        ]),
  ];
}

function daysBetween(from: string, to: string): number {
  return (Date.parse(to) - Date.parse(from)) / 86_400_000;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(3)));
}
