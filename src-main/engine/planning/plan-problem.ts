import type { Source } from '../../model/source.ts';
import type { PlanSettings } from '../../model/plan.ts';
import { countBits, weighBits, weighWords, wordsInUse } from '../numeric/bitset.ts';
import type { ChannelGrid } from './channel-grid.ts';
import { combChannels } from './comb-channels.ts';
import { frequencyRangeOf } from './frequency-range.ts';

/** One way a source may run. Free: at `frequencyHz`. Locked: at the master's × numerator / denominator. */
export type Choice =
  | { readonly kind: 'free'; readonly frequencyHz: number }
  | { readonly kind: 'locked'; readonly to: number; readonly numerator: number; readonly denominator: number };

/** A choice worked out: where it lies and which channels it takes. */
export interface Option {
  readonly choice: Choice;
  readonly frequencyHz: number;
  readonly halfWidth: number;
  readonly bits: Uint32Array;
  /** The words of `bits` that are not empty. */
  readonly used: Uint32Array;
  readonly weight: number;
}

/** What `bits` weighs beyond what is lost already. */
export function addedWeight({ bits, used }: Option, lost: Uint32Array, { weightOfWord }: ChannelGrid): number {
  return weighWords(bits, used, lost, weightOfWord);
}

type Taken = Pick<Option, 'bits' | 'used' | 'weight'>;

/** A choice for every source, in the sources' order. */
export type Assignment = readonly Choice[];

/**
 * The sources, their channels and what each may choose. Channels of a comb are worked out once per frequency and range.
 */
export class PlanProblem {
  readonly sources: readonly Source[];
  readonly grid: ChannelGrid;
  readonly settings: PlanSettings;
  /** As the register has it. */
  readonly today: Assignment;
  private readonly known = new Map<string, Taken>();
  private readonly nothing: Uint32Array;

  /** Tolerance, ± ppm, of single sources as they run today: what a measurement leaves of it. Anywhere else the stated one holds. */
  private readonly todayPpm: Readonly<Record<string, number>>;

  constructor(
    sources: readonly Source[],
    grid: ChannelGrid,
    settings: PlanSettings,
    todayPpm: Readonly<Record<string, number>> = {},
  ) {
    this.todayPpm = todayPpm;
    this.sources = sources;
    this.grid = grid;
    this.settings = settings;
    this.nothing = new Uint32Array(grid.words);
    const places = new Map(sources.map((source, i) => [source.designator, i]));
    this.today = sources.map(({ lock, nominalHz }) =>
      lock === null
        ? { kind: 'free', frequencyHz: nominalHz }
        : { kind: 'locked', to: places.get(lock.to)!, numerator: lock.numerator, denominator: lock.denominator },
    );
  }

  /** Source at the end of the chain of locks, and the frequency that the chain gives. */
  resolve(source: number, assignment: Assignment): { readonly root: number; readonly frequencyHz: number } {
    let [at, numerator, denominator] = [source, 1, 1];
    for (let steps = 0; steps <= this.sources.length; steps++) {
      const choice = assignment[at]!;
      // one division at the end: a ratio of whole numbers keeps its exact multiples
      if (choice.kind === 'free') return { root: at, frequencyHz: (choice.frequencyHz * numerator) / denominator };
      numerator *= choice.numerator;
      denominator *= choice.denominator;
      at = choice.to;
    }
    throw new Error('a circle of locks in an assignment');
  }

  /** What a choice of one source means while the others stand as assigned. */
  option(source: number, choice: Choice, assignment: Assignment): Option {
    const others = assignment[source] === choice ? assignment : assignment.with(source, choice);
    const { root, frequencyHz } = this.resolve(source, others);
    const halfWidth = this.halfWidthOf(root, others[root]!);
    return { choice, frequencyHz, halfWidth, ...this.channelsAt(source, frequencyHz, halfWidth) };
  }

  private halfWidthOf(root: number, choice: Choice): number {
    const source = this.sources[root]!;
    const measured = sameChoice(choice, this.today[root]!) ? this.todayPpm[source.designator] : undefined;
    const known = measured === undefined ? source : { ...source, tolerancePpm: measured };
    return frequencyRangeOf(known, this.settings.temperatureSpanK).halfWidth;
  }

  /** The channels of one source at a frequency. */
  channelsAt(source: number, frequencyHz: number, halfWidth: number): Taken {
    const { maxHarmonic } = this.sources[source]!;
    const key = `${frequencyHz}/${halfWidth}/${maxHarmonic}`;
    let found = this.known.get(key);
    if (found === undefined) {
      const bits = combChannels({ frequencyHz, halfWidth, maxHarmonic }, this.grid, this.settings);
      found = { bits, used: wordsInUse(bits), weight: weighBits(bits, this.nothing, this.grid.weightOfWord) };
      this.known.set(key, found);
    }
    return found;
  }

  options(assignment: Assignment): Option[] {
    return assignment.map((choice, source) => this.option(source, choice, assignment));
  }

  /** Σ weight of the channels that any of these takes. */
  weigh(options: readonly Option[]): number {
    return weighBits(this.union(options), this.nothing, this.grid.weightOfWord);
  }

  count(options: readonly Option[]): number {
    return countBits(this.union(options));
  }

  union(options: readonly Option[]): Uint32Array {
    const bits = new Uint32Array(this.grid.words);
    for (const option of options) for (let i = 0; i < bits.length; i++) bits[i]! |= option.bits[i]!;
    return bits;
  }
}

export function sameChoice(a: Choice, b: Choice): boolean {
  if (a.kind === 'free' || b.kind === 'free')
    return a.kind === 'free' && b.kind === 'free' && a.frequencyHz === b.frequencyHz;
  return a.to === b.to && a.numerator * b.denominator === b.numerator * a.denominator;
}
