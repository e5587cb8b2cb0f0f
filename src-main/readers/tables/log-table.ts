import { InputError } from '../../model/input-problem.ts';
import { parseTable, type TableContents } from './table.ts';

/** Entries of a log against its own clock; a value holds until the next. */
export interface LogTable {
  readonly timeS: Float64Array;
  readonly value: Float64Array;
}

/**
 * A current or mode log: `time_s, value`. Where the values are words (modes), each word gets a number in the order in which it first
 * appears.
 *
 * @returns one table
 * @throws InputError naming line and column
 */
export function readLogTable(text: string, file: string): TableContents<LogTable> {
  const { rows, warnings } = parseTable(text, file, ['time_s', 'value'], ['time_s', 'value']);
  const words: string[] = [];
  const isNumbers = rows.every((row) => /^[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d+)?$/.test(row.text('value')));
  const timeS: number[] = [];
  const value: number[] = [];
  for (const row of rows) {
    const time = row.requiredNumber('time_s', -1e12, 1e12);
    if (timeS.length > 0 && !(time > timeS.at(-1)!))
      throw row.problem('time_s', `${time} after ${timeS.at(-1)!}`, 'times in rising order', 'Sort the rows by time.');
    timeS.push(time);
    const word = row.required('value');
    if (!isNumbers && !words.includes(word)) words.push(word);
    value.push(isNumbers ? row.requiredNumber('value', -1e300, 1e300) : words.indexOf(word));
  }
  if (timeS.length < 2)
    throw new InputError({
      file,
      place: 'the whole table',
      found: `${timeS.length} rows`,
      expected: 'at least two',
      wayOut: 'Give the log over the time of the record.',
    });
  return { rows: [{ timeS: Float64Array.from(timeS), value: Float64Array.from(value) }], warnings };
}
