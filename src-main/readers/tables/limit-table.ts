import type { InputError } from '../../model/input-problem.ts';
import { checkLimitLine } from '../../model/check-limit-line.ts';
import type { LimitDetector, LimitLine, LimitStretch } from '../../model/limit-line.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import { parseTable, writeTable, type TableContents, type TableRow } from './table.ts';

/**
 * Points: `frequency_hz, level`, joined straight over log frequency. Stretches: `low_hz, high_hz, level, level_at_high`, which states
 * steps and gaps. The other columns hold for the whole line and are read from its first row; empty cells below repeat them.
 */
export const LIMIT_COLUMNS = [
  'name',
  'unit',
  'frequency_hz',
  'low_hz',
  'high_hz',
  'level',
  'level_at_high',
  'detector',
  'bandwidth_hz',
  'bandwidth_shape',
  'distance_m',
  'document',
  'confirmed',
] as const;

const DETECTORS: readonly LimitDetector[] = ['peak', 'quasi-peak', 'average'];

interface Entry {
  readonly line: LimitLine;
  readonly rows: TableRow[];
  readonly points: { frequencyHz: number; level: number; row: TableRow }[];
  readonly stretches: LimitStretch[];
}

/**
 * Limit lines from their table, several to a file. Equal, falling or single frequencies of points, reversed stretches, points and
 * stretches mixed in one line, and a later row that contradicts the line's first are refused.
 *
 * @throws InputError naming line and column
 */
export function readLimitTable(text: string, file: string): TableContents<LimitLine> {
  const { rows, warnings } = parseTable(text, file, LIMIT_COLUMNS, ['name', 'unit', 'level']);
  const entries = new Map<string, Entry>();
  let name = '';
  for (const row of rows) {
    name = row.text('name') || name;
    if (name === '') throw row.problem('name', 'nothing', 'the name of the limit', 'Name the line in its first row.');
    const known = entries.get(name);
    const entry = known ?? { line: headOf(row, name), rows: [], points: [], stretches: [] };
    if (known === undefined) entries.set(name, entry);
    else mustRepeat(row, known);
    entry.rows.push(row);
    takeLevel(row, entry);
  }
  return { rows: [...entries.values()].map(finished), warnings };
}

function headOf(row: TableRow, name: string): LimitLine {
  const stated = row.required('unit');
  const unit = parseLevelUnit(stated);
  if (unit === null || unit.scale !== 'decibel')
    throw row.problem('unit', `“${stated}”`, 'a decibel unit such as dBm, dBµV or dBµV/m', 'Give levels in decibels.');
  const bandwidthHz = row.number('bandwidth_hz', 0, 1e12, false);
  const shape = row.oneOf('bandwidth_shape', ['3 db', '6 db', 'noise'], '6 db');
  const confirmed = row.oneOf('confirmed', ['yes', 'no'], 'yes');
  return {
    name,
    unit: unit.name,
    stretches: [],
    detector: row.text('detector') === '' ? null : row.oneOf('detector', DETECTORS, null),
    bandwidths:
      bandwidthHz === null
        ? []
        : [
            {
              lowHz: 0,
              highHz: 1e12,
              bandwidthHz,
              shape: shape === 'noise' ? 'noise' : shape === '3 db' ? '3 dB' : '6 dB',
            },
          ],
    distanceM: row.number('distance_m', 0, 1e6, false),
    document: row.text('document'),
    isConfirmed: confirmed === 'yes',
    origin: `entered from ${row.file}`,
  };
}

function mustRepeat(row: TableRow, { rows }: Entry): void {
  const first = rows[0]!;
  for (const column of ['unit', 'detector', 'bandwidth_hz', 'bandwidth_shape', 'distance_m', 'document', 'confirmed']) {
    const here = row.text(column);
    if (here === '' || here === first.text(column)) continue;
    throw row.problem(
      column,
      `“${here}”`,
      `“${first.text(column)}”, as in line ${first.line} of the same limit`,
      'Give a limit one unit, detector and bandwidth, or name a second limit.',
    );
  }
}

function takeLevel(row: TableRow, entry: Entry): void {
  const isPoint = row.text('frequency_hz') !== '';
  const isStretch = row.text('low_hz') !== '' || row.text('high_hz') !== '';
  if (isPoint === isStretch)
    throw row.problem(
      'frequency_hz',
      isPoint ? 'frequency_hz and low_hz in one row' : 'no frequency',
      'frequency_hz for a point, or low_hz and high_hz for a stretch',
      'Fill in one of the two.',
    );
  if (isPoint ? entry.stretches.length > 0 : entry.points.length > 0)
    throw row.problem(
      isPoint ? 'frequency_hz' : 'low_hz',
      'points and stretches in one limit',
      'one of the two',
      'Write the whole line as stretches: they can say the same.',
    );
  if (row.text('level') === '')
    throw row.problem('level', 'nothing', 'a level', 'Leave the row out where there is no limit.');
  const level = row.number('level', -1000, 1000)!;
  if (!isPoint) return void entry.stretches.push(stretchOf(row, level, entry.stretches.at(-1)));
  const frequencyHz = row.requiredNumber('frequency_hz', 0, 1e12, false);
  const before = entry.points.at(-1);
  if (before !== undefined && frequencyHz <= before.frequencyHz)
    throw row.problem(
      'frequency_hz',
      frequencyHz === before.frequencyHz
        ? `${frequencyHz} Hz twice`
        : `${frequencyHz} Hz after ${before.frequencyHz} Hz`,
      'rising frequencies',
      frequencyHz === before.frequencyHz
        ? 'A step is written as two rows with low_hz and high_hz, which say what holds on each side.'
        : 'Sort the rows.',
    );
  entry.points.push({ frequencyHz, level, row });
}

function stretchOf(row: TableRow, lowLevel: number, before: LimitStretch | undefined): LimitStretch {
  const lowHz = row.requiredNumber('low_hz', 0, 1e12, false);
  const highHz = row.requiredNumber('high_hz', 0, 1e12, false);
  if (!(highHz > lowHz))
    throw row.problem(
      'high_hz',
      `${highHz} Hz for a stretch that begins at ${lowHz} Hz`,
      'an end above its beginning',
      'Exchange the two.',
    );
  if (before !== undefined && lowHz < before.highHz)
    throw row.problem(
      'low_hz',
      `${lowHz} Hz, inside the stretch that ends at ${before.highHz} Hz`,
      'stretches that follow each other',
      'Part them at one frequency, or leave a gap.',
    );
  return { lowHz, highHz, lowLevel, highLevel: row.number('level_at_high', -1000, 1000) ?? lowLevel };
}

function finished({ line, points, stretches, rows }: Entry): LimitLine {
  const [first] = rows;
  if (points.length === 1)
    throw first!.problem(
      'frequency_hz',
      'one point',
      'two points or more',
      'Give the line a beginning and an end; a level everywhere is one stretch from low_hz to high_hz.',
    );
  const joined = points.slice(1).map(({ frequencyHz, level }, i) => ({
    lowHz: points[i]!.frequencyHz,
    highHz: frequencyHz,
    lowLevel: points[i]!.level,
    highLevel: level,
  }));
  const done: LimitLine = { ...line, stretches: points.length > 0 ? joined : stretches };
  const problem = checkLimitLine(done);
  if (problem !== null) throw asInputError(problem, first!);
  return done;
}

function asInputError(
  { found, expected, wayOut }: { found: string; expected: string; wayOut: string },
  row: TableRow,
): InputError {
  return row.problem('name', found, expected, wayOut);
}

/** The table of these lines, as stretches; readLimitTable reads it back to the same limits. One bandwidth a line is kept. */
export function writeLimitTable(lines: readonly LimitLine[]): string {
  return writeTable(
    LIMIT_COLUMNS,
    lines.flatMap((line) =>
      line.stretches.map((stretch) => [
        line.name,
        line.unit,
        null,
        stretch.lowHz,
        stretch.highHz,
        stretch.lowLevel,
        stretch.highLevel,
        line.detector,
        line.bandwidths[0]?.bandwidthHz ?? null,
        line.bandwidths[0]?.shape ?? null,
        line.distanceM,
        line.document,
        line.isConfirmed ? 'yes' : 'no',
      ]),
    ),
  );
}
