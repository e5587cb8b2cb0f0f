import type { Demand, Requirement, TemperatureRange } from '../../model/requirement.ts';
import { parseTable, strictRows, writeTable, type TableContents, type TableRow } from './table.ts';

/** Lists within a cell stand with ` | ` between; temperatures are ranges `-20…50` in °C. */
export const REQUIREMENT_COLUMNS = [
  'id',
  'text',
  'bands',
  'demand',
  'at_least',
  'counted_as',
  'limit',
  'modes',
  'temperatures_c',
  'points',
] as const;

type Demanded = Omit<Requirement, 'id'>;

/**
 * Requirements from their table. `demand` is `strongest line` (also where the cell is empty) or `clean channels`, which needs
 * `at_least`, counted as a `share` (0…1) or a `count`. An ID twice, a reversed range and a share above 1 are refused.
 *
 * @throws InputError naming line and column
 */
export function readRequirementTable(text: string, file: string): TableContents<Demanded> {
  const { rows, warnings } = parseTable(text, file, REQUIREMENT_COLUMNS, ['id']);
  const found: Demanded[] = [];
  for (const row of rows) {
    const code = row.required('id');
    if (found.some((one) => one.code === code))
      throw row.problem('id', `“${code}” a second time`, 'each ID once', 'Give one of the two another ID.');
    found.push({
      code,
      text: row.text('text'),
      bands: listOf(row, 'bands'),
      demand: demandOf(row),
      limit: row.textOrNull('limit'),
      modes: listOf(row, 'modes'),
      temperatures: listOf(row, 'temperatures_c').map((range) => rangeOf(row, range)),
      points: listOf(row, 'points'),
    });
  }
  return { rows: found, warnings };
}

/** The requirements of a table alone, for a caller that has no place for warnings; see strictRows. @throws InputError */
export function parseRequirementTable(text: string, file: string): Demanded[] {
  return strictRows(readRequirementTable(text, file), file);
}

function demandOf(row: TableRow): Demand {
  if (row.oneOf('demand', ['strongest line', 'clean channels'], 'strongest line') === 'strongest line')
    return { kind: 'strongest-line' };
  const as = row.oneOf('counted_as', ['share', 'count'], 'share');
  const atLeast = row.requiredNumber('at_least', 0, as === 'share' ? 1 : 1e9, false);
  if (as === 'count' && !Number.isInteger(atLeast))
    throw row.problem('at_least', `“${atLeast}”`, 'a whole number of channels', 'Write it without decimals.');
  return { kind: 'clean-channels', atLeast, as };
}

function listOf(row: TableRow, column: string): string[] {
  return row
    .text(column)
    .split('|')
    .map((part) => part.trim())
    .filter((part) => part !== '');
}

function rangeOf(row: TableRow, text: string): TemperatureRange {
  const ends = /^([-\u2212]?\d+(?:[.,]\d+)?)\s*(?:\u2026|\.{2,3}|to)\s*([-\u2212]?\d+(?:[.,]\d+)?)$/.exec(text);
  const [lowC, highC] = (ends?.slice(1) ?? []).map((end) => Number(end.replace('\u2212', '-').replace(',', '.')));
  if (lowC === undefined || highC === undefined || !(lowC <= highC))
    throw row.problem('temperatures_c', `“${text}”`, 'a range from low to high, such as -20…50', 'Write low…high.');
  return { lowC, highC };
}

/** The table of these requirements; readRequirementTable reads it back to the same values, where no name holds a `|`. */
export function writeRequirementTable(requirements: readonly Demanded[]): string {
  return writeTable(
    REQUIREMENT_COLUMNS,
    requirements.map(({ code, text, bands, demand, limit, modes, temperatures, points }) => [
      code,
      text,
      bands.join(' | '),
      demand.kind === 'strongest-line' ? 'strongest line' : 'clean channels',
      demand.kind === 'strongest-line' ? null : demand.atLeast,
      demand.kind === 'strongest-line' ? null : demand.as,
      limit,
      modes.join(' | '),
      temperatures.map(({ lowC, highC }) => `${lowC}\u2026${highC}`).join(' | '),
      points.join(' | '),
    ]),
  );
}
