import type { Source } from './source.ts';

/** What is wrong with one entry of the source register, by field. */
export interface SourceProblem {
  readonly field: keyof Source;
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

/**
 * Checks one entry against the rest of the register: its own numbers, its name, what it is locked to and fed by.
 *
 * @param others all other entries (not this one)
 * @returns all problems, none for a sound entry
 */
export function checkRegister(source: Source, others: readonly Source[]): SourceProblem[] {
  const problems: SourceProblem[] = [];
  const add = (field: keyof Source, found: string, expected: string, wayOut: string): void => {
    problems.push({ field, found, expected, wayOut });
  };
  const name = source.designator;
  if (name.trim() === '')
    add('designator', 'nothing', 'a designator', 'Give the source the name it has in the circuit.');
  else if (/\s/.test(name))
    add(
      'designator',
      `“${name}”`,
      'a designator without blanks',
      'Conditions list designators separated by blanks: use a hyphen.',
    );
  else if (others.some((other) => other.designator === name))
    add('designator', `“${name}” a second time`, 'each designator once', 'Rename one of the two.');
  if (!(source.nominalHz > 0 && Number.isFinite(source.nominalHz)))
    add('nominalHz', String(source.nominalHz), 'a frequency above 0 Hz', 'Write the frequency in Hz.');
  if (source.adjust !== null) {
    const { lowHz, highHz, stepHz } = source.adjust;
    if (!(lowHz > 0 && lowHz <= highHz))
      add('adjust', `${lowHz} … ${highHz} Hz`, 'a range from low to high', 'Exchange the two ends.');
    else if (stepHz !== null && !(stepHz > 0 && stepHz <= Math.max(highHz - lowHz, 0)))
      add(
        'adjust',
        `a step of ${stepHz} Hz`,
        `a step that fits into ${highHz - lowHz} Hz`,
        'Make the step smaller, or leave it empty for any frequency.',
      );
  }
  const all = new Map([...others, source].map((entry) => [entry.designator, entry]));
  follow('lock', 'locked to', source, all, (entry) => entry.lock?.to ?? null, add);
  follow('fedBy', 'fed by', source, all, (entry) => entry.fedBy, add);
  return problems;
}

/** Follows one kind of tie upwards: an unknown name or a way back to the start is a problem. */
function follow(
  field: 'lock' | 'fedBy',
  words: string,
  source: Source,
  all: ReadonlyMap<string, Source>,
  next: (source: Source) => string | null,
  add: (field: keyof Source, found: string, expected: string, wayOut: string) => void,
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

/** All sources that go off when this one is switched off: those it feeds, and those they feed. Not itself. */
export function fedFrom(designator: string, sources: readonly Source[]): string[] {
  const off = new Set([designator]);
  for (let grown = true; grown;) {
    grown = false;
    for (const source of sources)
      if (source.fedBy !== null && off.has(source.fedBy) && !off.has(source.designator)) {
        off.add(source.designator);
        grown = true;
      }
  }
  off.delete(designator);
  return [...off];
}
