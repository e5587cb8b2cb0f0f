import type { Source, SourceAdjustment } from './source.ts';

/** What is wrong with one entry of the source register, by field. */
export interface SourceProblem {
  readonly field: keyof Source;
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

type Add = (field: keyof Source, found: string, expected: string, wayOut: string) => void;

/** Ranges that a source's numbers must keep, both ends included; units as in the field's name. */
export const SOURCE_LIMITS = {
  /** Above zero; no switching source of a payload runs at a terahertz. */
  nominalHz: [Number.MIN_VALUE, 1e12],
  /** One million ppm is the frequency itself. */
  tolerancePpm: [0, 1e6],
  driftPpmPerK: [-100_000, 100_000],
  spreadPpm: [0, 1e6],
  duty: [0, 1],
  riseS: [0, 1],
} as const;

/** Largest number that a ratio or a harmonic may have. */
export const MOST_HARMONICS = 1e9;

/**
 * Checks one entry against the rest of the register: its own numbers, its name, what it is locked to and fed by.
 *
 * @param others all other entries (not this one)
 * @returns all problems, none for a sound entry
 */
export function checkSource(source: Source, others: readonly Source[]): SourceProblem[] {
  const isTaken = others.some((other) => other.designator === source.designator);
  return problemsOf(source, isTaken, byDesignator([...others, source]));
}

/**
 * Checks a whole list, each entry as checkSource does; of two entries with one designator the later is the wrong one.
 *
 * @returns all problems in the list's order, with the place of the entry, counted from 0
 */
export function checkSources(sources: readonly Source[]): (SourceProblem & { readonly index: number })[] {
  const all = byDesignator(sources);
  const seen = new Set<string>();
  return sources.flatMap((source, index) => {
    const isTaken = seen.has(source.designator);
    seen.add(source.designator);
    return problemsOf(source, isTaken, all).map((problem) => ({ ...problem, index }));
  });
}

function byDesignator(sources: readonly Source[]): ReadonlyMap<string, Source> {
  return new Map(sources.map((source) => [source.designator, source]));
}

function problemsOf(source: Source, isTaken: boolean, all: ReadonlyMap<string, Source>): SourceProblem[] {
  const problems: SourceProblem[] = [];
  const add: Add = (field, found, expected, wayOut) => problems.push({ field, found, expected, wayOut });
  checkName(source.designator, isTaken, add);
  checkNumbers(source, add);
  follow('lock', 'locked to', source, all, (entry) => entry.lock?.to ?? null, add);
  follow('fedBy', 'fed by', source, all, (entry) => entry.fedBy, add);
  return problems;
}

function checkName(name: string, isTaken: boolean, add: Add): void {
  if (name.trim() === '')
    add('designator', 'nothing', 'a designator', 'Give the source the name it has in the circuit.');
  else if (/\s/.test(name))
    add(
      'designator',
      `“${name}”`,
      'a designator without blanks',
      'Conditions list designators separated by blanks: use a hyphen.',
    );
  else if (isTaken) add('designator', `“${name}” a second time`, 'each designator once', 'Rename one of the two.');
}

function checkNumbers(source: Source, add: Add): void {
  for (const field of Object.keys(SOURCE_LIMITS) as (keyof typeof SOURCE_LIMITS)[]) {
    const value = source[field];
    const [low, high] = SOURCE_LIMITS[field];
    if (value === null || (value >= low && value <= high)) continue;
    const least = low === Number.MIN_VALUE ? 'above 0' : `from ${low}`;
    add(field, String(value), `a number ${least} to ${high}`, 'Write the plain number in the unit of the field.');
  }
  if (source.maxHarmonic !== null && !isCount(source.maxHarmonic))
    add('maxHarmonic', String(source.maxHarmonic), 'a whole number from 1', 'Leave it empty where nothing limits it.');
  if (source.lock !== null && !(isCount(source.lock.numerator) && isCount(source.lock.denominator)))
    add(
      'lock',
      `the ratio ${source.lock.numerator} / ${source.lock.denominator}`,
      'whole numbers from 1',
      'Write the ratio of the divider or multiplier, such as 1 / 16.',
    );
  if (source.adjust !== null) checkAdjustment(source.adjust, add);
}

function isCount(value: number): boolean {
  return Number.isInteger(value) && value >= 1 && value <= MOST_HARMONICS;
}

function checkAdjustment({ lowHz, highHz, stepHz }: SourceAdjustment, add: Add): void {
  if (!(lowHz > 0 && lowHz <= highHz && highHz <= SOURCE_LIMITS.nominalHz[1]))
    add('adjust', `${lowHz} … ${highHz} Hz`, 'a range from low to high', 'Exchange the two ends.');
  else if (stepHz !== null && !(stepHz > 0 && stepHz <= Math.max(highHz - lowHz, 0)))
    add(
      'adjust',
      `a step of ${stepHz} Hz`,
      `a step that fits into ${highHz - lowHz} Hz`,
      'Make the step smaller, or leave it empty for any frequency.',
    );
}

/** Follows one kind of tie upwards: an unknown name or a way back to the start is a problem. */
function follow(
  field: 'lock' | 'fedBy',
  words: string,
  source: Source,
  all: ReadonlyMap<string, Source>,
  next: (source: Source) => string | null,
  add: Add,
): void {
  const path = [source.designator];
  let to = next(source);
  while (to !== null) {
    if (path.includes(to)) {
      // a circle further up is that entry's own problem
      if (to === source.designator)
        add(field, `a circle: ${[...path, to].join(` ${words} `)}`, 'a chain that ends', 'Take out one of these ties.');
      return;
    }
    const entry = all.get(to);
    if (entry === undefined) {
      if (path.length === 1)
        add(field, `${words} “${to}”`, 'a designator of this register', 'Correct the name, or add that source first.');
      return;
    }
    path.push(to);
    to = next(entry);
  }
}
