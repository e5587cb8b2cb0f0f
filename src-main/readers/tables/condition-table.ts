import type { Averaging, Detector } from '../../model/capture.ts';
import type { Condition } from '../../model/condition.ts';
import { averagingKind, detectorOf } from '../delimited/preamble.ts';
import { parseTable, type TableRow } from './table.ts';

export const CONDITION_COLUMNS = [
  'file',
  'role',
  'point',
  'state',
  'mode',
  'sources_on',
  'sources_off',
  'temperature_c',
  'attenuation_db',
  'unit',
  'rbw_hz',
  'averages',
  'averaging',
  'detector',
  'gain_db',
] as const;

/** Conditions of captures from their table, one row a file. @throws InputError */
export function parseConditionTable(text: string, file: string): Condition[] {
  const rows = parseTable(text, file, CONDITION_COLUMNS, ['file']);
  const seen = new Map<string, number>();
  return rows.map((row): Condition => {
    const name = row.required('file');
    if (seen.has(name))
      throw row.problem(
        'file',
        `“${name}” a second time (first in line ${seen.get(name)!})`,
        'one row a file',
        'Put both rows into one.',
      );
    seen.set(name, row.line);
    const sourcesOn = designators(row, 'sources_on');
    const sourcesOff = designators(row, 'sources_off');
    const both = sourcesOn?.find((designator) => sourcesOff?.includes(designator) === true);
    if (both !== undefined)
      throw row.problem(
        'sources_off',
        `“${both}”, which sources_on lists too`,
        'each source on or off',
        'Take it out of one of the two.',
      );
    return {
      file: name,
      role: row.oneOf('role', ['item', 'off', 'terminated', 'attenuated'], 'item'),
      point: row.textOrNull('point'),
      state: row.textOrNull('state'),
      mode: row.textOrNull('mode'),
      sourcesOn,
      sourcesOff,
      temperatureC: row.number('temperature_c', -273.15, 2000),
      attenuationDb: row.number('attenuation_db', -200, 200),
      unit: row.textOrNull('unit'),
      rbwHz: row.number('rbw_hz', 0, Infinity, false),
      averages: row.number('averages', 1, 1e9),
      averaging: averagingCell(row),
      detector: detectorCell(row),
      gainDb: row.number('gain_db', -200, 200),
    };
  });
}

function designators(row: TableRow, column: string): string[] | null {
  const text = row.textOrNull(column);
  return text === null ? null : text.split(/\s+/);
}

function averagingCell(row: TableRow): Averaging | null {
  const text = row.textOrNull('averaging');
  if (text === null || text === 'unknown') return text;
  const kind = averagingKind(text);
  if (kind === 'unknown')
    throw row.problem(
      'averaging',
      `“${text}”`,
      'none, power, log, voltage, max-hold, min-hold or unknown',
      'Use one of these words.',
    );
  return kind;
}

function detectorCell(row: TableRow): Detector | null {
  const text = row.textOrNull('detector');
  if (text === null || text === 'unknown') return text;
  const kind = detectorOf(text);
  if (kind === 'unknown')
    throw row.problem(
      'detector',
      `“${text}”`,
      'sample, rms, average, positive-peak, negative-peak, quasi-peak, normal or unknown',
      'Use one of these words.',
    );
  return kind;
}
