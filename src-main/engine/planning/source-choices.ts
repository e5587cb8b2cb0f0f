import type { Source, SourceAdjustment } from '../../model/source.ts';
import { lockChain } from '../../model/source-tree.ts';
import { MOST_STEPS } from './check-plan-input.ts';
import { frequencyRangeOf } from './frequency-range.ts';
import { sameChoice, type Assignment, type Choice, type PlanProblem } from './plan-problem.ts';

/** What a designer may choose for each source. */
export class SourceChoices {
  /** Places of the sources that can be changed at all, masters before those they may clock. */
  readonly changeable: readonly number[];
  /** For each source the places of the clocks that it may be locked to. */
  readonly masters: readonly (readonly number[])[];
  private readonly problem: PlanProblem;
  private readonly free: readonly (readonly Choice[])[];
  private readonly lockedAt = new Map<string, readonly Choice[]>();

  constructor(problem: PlanProblem) {
    this.problem = problem;
    const { sources } = problem;
    this.masters = sources.map((source) => mastersOf(source, sources, problem));
    this.free = sources.map((source) =>
      source.adjust === null || source.lock !== null
        ? []
        : gridOf(source.adjust, problem.settings.choicesOfARange, source.nominalHz).map((frequencyHz) => ({
            kind: 'free',
            frequencyHz,
          })),
    );
    const depth = (place: number) =>
      (this.mayBeMaster(place) ? 0 : 1) + lockChain(sources[place]!, sources).length / 1e3;
    this.changeable = sources
      .map((_, place) => place)
      .filter(
        (place) => this.free[place]!.length > 0 || (sources[place]!.adjust !== null && this.masters[place]!.length > 0),
      )
      .sort((a, b) => depth(a) - depth(b) || a - b);
  }

  /** True where another source may be clocked by this one. */
  mayBeMaster(place: number): boolean {
    return this.masters.some((masters) => masters.includes(place));
  }

  /**
   * All choices of a source while its masters stand as assigned: today's first, then by their distance from today's frequency.
   *
   * A locked source with a step: the frequencies of its range that are steps and whole ratios of its master. A locked source without
   * one, and a free one that may be locked: whole dividers of the master, times the numerator it has today.
   */
  of(place: number, assignment: Assignment): readonly Choice[] {
    const today = this.problem.today[place]!;
    const all = [
      ...this.free[place]!,
      ...this.masters[place]!.flatMap((master) => this.ratios(place, master, assignment)),
    ];
    return [today, ...all.filter((choice) => !sameChoice(choice, today))];
  }

  private ratios(place: number, master: number, assignment: Assignment): readonly Choice[] {
    const { frequencyHz } = this.problem.resolve(master, assignment);
    const key = `${place}/${master}/${frequencyHz}`;
    let found = this.lockedAt.get(key);
    if (found === undefined) {
      const source = this.problem.sources[place]!;
      found = ratiosOf(source, source.adjust!, frequencyHz).map(
        ([numerator, denominator]) => ({ kind: 'locked', to: master, numerator, denominator }) as const,
      );
      this.lockedAt.set(key, found);
    }
    return found;
  }
}

/**
 * A locked source keeps its master. A free one may be locked to a clock where that makes it surer: not where it is as sure already, since
 * a lock would bring nothing that a setting does not.
 */
function mastersOf(source: Source, sources: readonly Source[], { settings }: PlanProblem): number[] {
  if (source.adjust === null) return [];
  if (source.lock !== null) return [sources.findIndex(({ designator }) => designator === source.lock!.to)];
  if (!settings.offerLocks || source.kind === 'clock') return [];
  const own = frequencyRangeOf(source, settings.temperatureSpanK).halfWidth;
  return sources.flatMap((clock, place) => {
    const chain = lockChain(clock, sources);
    if (clock.kind !== 'clock' || chain.some(({ designator }) => designator === source.designator)) return [];
    return frequencyRangeOf(chain.at(-1)!, settings.temperatureSpanK).halfWidth < own ? [place] : [];
  });
}

/** The frequencies of a range: its steps from the low end on, or evenly spaced ones where any may be chosen. Nearest to today's first. */
export function gridOf({ lowHz, highHz, stepHz }: SourceAdjustment, choices: number, todayHz: number): number[] {
  const steps = stepHz === null ? Math.max(1, choices - 1) : Math.floor((highHz - lowHz) / stepHz + 1e-9);
  const spacingHz = stepHz ?? (highHz - lowHz) / steps;
  const all = Array.from({ length: Math.min(steps, MOST_STEPS) + 1 }, (_, i) => lowHz + i * spacingHz);
  const frequencies = highHz === lowHz ? [lowHz] : all;
  return frequencies.sort((a, b) => Math.abs(a - todayHz) - Math.abs(b - todayHz) || a - b);
}

function ratiosOf(source: Source, { lowHz, highHz, stepHz }: SourceAdjustment, masterHz: number): [number, number][] {
  const within = (hz: number) => hz >= lowHz * (1 - 1e-12) && hz <= highHz * (1 + 1e-12);
  if (source.lock !== null && stepHz !== null)
    return gridOf({ lowHz, highHz, stepHz }, 0, source.nominalHz).flatMap((hz) => wholeRatio(hz, masterHz));
  const numerators = [...new Set([1, source.lock?.numerator ?? 1])];
  return numerators.flatMap((numerator) => {
    const found: [number, number][] = [];
    const least = Math.max(1, Math.ceil((numerator * masterHz) / highHz - 1e-9));
    const most = Math.min(Math.floor((numerator * masterHz) / lowHz + 1e-9), least + MOST_STEPS);
    for (let d = least; d <= most; d++) if (within((numerator * masterHz) / d)) found.push([numerator, d]);
    return found;
  });
}

/** The ratio of two frequencies as whole numbers of at most six digits, in lowest terms; none where there is no such. */
function wholeRatio(hz: number, masterHz: number): [number, number][] {
  // continued fraction; its convergents are in lowest terms
  let [p0, q0, p1, q1] = [0, 1, 1, 0];
  let rest = hz / masterHz;
  for (let i = 0; i < 40; i++) {
    const whole = Math.floor(rest + 1e-9);
    [p0, p1] = [p1, whole * p1 + p0];
    [q0, q1] = [q1, whole * q1 + q0];
    if (q1 > 1e6 || p1 > 1e6) return [];
    if (p1 > 0 && Math.abs((masterHz * p1) / q1 / hz - 1) < 1e-12) return [[p1, q1]];
    rest = 1 / (rest - whole);
    if (!Number.isFinite(rest)) return [];
  }
  return [];
}
