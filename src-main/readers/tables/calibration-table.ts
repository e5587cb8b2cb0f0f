import { InputError } from '../../model/input-problem.ts';
import { tableProblem, type CalibrationTable } from '../../model/calibration.ts';
import { parseTable, writeTable, type TableContents } from './table.ts';

export const CALIBRATION_COLUMNS = ['frequency_hz', 'value_db', 'uncertainty_db', 'offset_hz'] as const;

export type CalibrationCurve = Pick<CalibrationTable, 'frequencyHz' | 'valueDb' | 'uncertaintyDb' | 'axis'>;

/**
 * Factors, gains or losses against frequency: `frequency_hz, value_db`, and one standard deviation in `uncertainty_db`, which is given
 * in every row or in none. The response of a receiver's channel may be given against the offset from the tuned frequency instead, in
 * `offset_hz`.
 *
 * @returns one curve
 * @throws InputError naming line and column
 */
export function readCalibrationTable(text: string, file: string): TableContents<CalibrationCurve> {
  const { rows, warnings } = parseTable(text, file, CALIBRATION_COLUMNS, ['value_db']);
  const isOffset = rows.some((row) => row.number('offset_hz', -1e15, 1e15) !== null);
  const column = isOffset ? 'offset_hz' : 'frequency_hz';
  const both = isOffset ? rows.find((row) => row.textOrNull('frequency_hz') !== null) : undefined;
  if (both !== undefined)
    throw both.problem('frequency_hz', 'a frequency beside an offset', 'one of the two', 'Leave one column out.');
  const frequencyHz = rows.map((row) => row.requiredNumber(column, isOffset ? -1e15 : 0, 1e15, isOffset));
  const valueDb = rows.map((row) => row.requiredNumber('value_db', -1000, 1000));
  const stated = rows.map((row) => row.number('uncertainty_db', 0, 1000));
  const missing = stated.indexOf(null);
  if (missing >= 0 && stated.some((value) => value !== null))
    throw rows[missing]!.problem('uncertainty_db', 'nothing', 'an uncertainty, as in other rows', 'Fill in every row.');
  const curve = {
    frequencyHz,
    valueDb,
    uncertaintyDb: missing >= 0 ? null : (stated as number[]),
    ...(isOffset ? { axis: 'offset' as const } : {}),
  };
  const problem = tableProblem(curve);
  if (problem !== null)
    throw new InputError({
      file,
      place: `column ${column}`,
      found: problem,
      expected: 'at least one row, frequencies in rising order',
      wayOut: 'Sort the rows by frequency, and take repeated ones out.',
    });
  return { rows: [curve], warnings };
}

export function writeCalibrationTable({ frequencyHz, valueDb, uncertaintyDb, axis }: CalibrationCurve): string {
  return writeTable(
    [axis === 'offset' ? 'offset_hz' : 'frequency_hz', 'value_db', 'uncertainty_db'],
    frequencyHz.map((hz, i) => [hz, valueDb[i]!, uncertaintyDb?.[i] ?? null]),
  );
}
