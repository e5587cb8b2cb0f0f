import { InputError } from '../../model/input-problem.ts';

/** One number of the data with the line it stands on. */
export interface DataLine {
  readonly line: number;
  readonly values: readonly number[];
}

/** Lines of numbers, remarks (behind `!`) and blank lines left out. Throws InputError for a word among them. */
export function numbersOn(text: string, line: number, file: string): DataLine | null {
  const bare = text.replace(/!.*$/, '').trim();
  if (bare === '') return null;
  const values = bare.split(/[\s,]+/).map((word) => (NUMBER.test(word) ? Number(word.replace(/[dD]/, 'e')) : NaN));
  const bad = values.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0)
    throw new InputError({
      file,
      place: `line ${line}`,
      found: `“${bare.split(/[\s,]+/)[bad]!.slice(0, 40)}”`,
      expected: 'a number',
      wayOut: 'Correct that line, or export the network parameters again.',
    });
  return { line, values };
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d{1,4})?$/;
