import type { Averaging, Detector } from '../../model/capture.ts';
import type { AttenuatorKind, Condition, TerminationPlace } from '../../model/condition.ts';
import { parseTable, strictRows, writeTable, type TableContents, type TableRow } from './table.ts';

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
  'load',
  'operator',
  'instrument',
  'calibrated_on',
  'terminated_at',
  'attenuator',
  'gain_state',
] as const;

/** Conditions of captures from their table, one row a file. @throws InputError with line and column */
export function readConditionTable(text: string, file: string): TableContents<Condition> {
  const { rows, warnings } = parseTable(text, file, CONDITION_COLUMNS, ['file']);
  const seen = new Map<string, number>();
  const conditions = rows.map((row): Condition => {
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
      averaging: wordCell(row, 'averaging', AVERAGING_WORDS),
      detector: wordCell(row, 'detector', DETECTOR_WORDS),
      gainDb: row.number('gain_db', -200, 200),
      ...stated('gainState', row.textOrNull('gain_state')),
      ...stated('load', row.textOrNull('load')),
      ...stated('operator', row.textOrNull('operator')),
      ...stated('instrument', row.textOrNull('instrument')),
      ...stated('calibratedOn', dateCell(row, 'calibrated_on')),
      ...stated('terminatedAt', wordCell(row, 'terminated_at', PLACE_WORDS)),
      ...stated('attenuator', wordCell(row, 'attenuator', ATTENUATOR_WORDS)),
    };
  });
  return { rows: conditions, warnings };
}

/** The conditions of a table alone, for a caller that has no place for warnings; see strictRows. @throws InputError */
export function parseConditionTable(text: string, file: string): Condition[] {
  return strictRows(readConditionTable(text, file), file);
}

/**
 * The table of these conditions; readConditionTable reads it back to the same values, save that a list said to be empty
 * (`sourcesOn: []`) comes back as not said: the table has no way to tell them apart.
 */
export function writeConditionTable(conditions: readonly Condition[]): string {
  return writeTable(
    CONDITION_COLUMNS,
    conditions.map((c) => [
      c.file,
      c.role,
      c.point,
      c.state,
      c.mode,
      c.sourcesOn?.join(' ') ?? null,
      c.sourcesOff?.join(' ') ?? null,
      c.temperatureC,
      c.attenuationDb,
      c.unit,
      c.rbwHz,
      c.averages,
      c.averaging,
      c.detector,
      c.gainDb,
      c.load ?? null,
      c.operator ?? null,
      c.instrument ?? null,
      c.calibratedOn ?? null,
      c.terminatedAt ?? null,
      c.attenuator ?? null,
      c.gainState ?? null,
    ]),
  );
}

function designators(row: TableRow, column: string): string[] | null {
  const text = row.textOrNull(column);
  return text === null ? null : text.split(/\s+/);
}

/** A field that is left out where nobody said anything. */
function stated<K extends string, T extends string>(field: K, value: T | null): Partial<Record<K, T>> {
  return value === null ? {} : ({ [field]: value } as Record<K, T>);
}

/** A date of the calendar written as in ISO 8601. */
function dateCell(row: TableRow, column: string): string | null {
  const text = row.textOrNull(column);
  if (text === null) return null;
  const [, year, month, day] = (/^(\d{4})-(\d\d)-(\d\d)$/.exec(text) ?? []).map(Number);
  // the day before the first of the next month is the last of this one
  const lastDay = new Date(Date.UTC(year ?? NaN, month ?? NaN, 0)).getUTCDate();
  if (month === undefined || day === undefined || month < 1 || month > 12 || day < 1 || day > lastDay)
    throw row.problem(column, `“${text}”`, 'a date such as 2026-01-31', 'Write year, month and day with hyphens.');
  return text;
}

/** Other spellings that are taken for a word of ours. Common practice, no source. */
const AVERAGING_WORDS: Readonly<Record<string, Averaging>> = {
  none: 'none',
  off: 'none',
  power: 'power',
  rms: 'power',
  log: 'log',
  logarithmic: 'log',
  video: 'log',
  voltage: 'voltage',
  linear: 'voltage',
  'max-hold': 'max-hold',
  maxhold: 'max-hold',
  'min-hold': 'min-hold',
  minhold: 'min-hold',
  unknown: 'unknown',
};

const PLACE_WORDS: Readonly<Record<string, TerminationPlace>> = {
  analyser: 'analyser',
  analyzer: 'analyser',
  instrument: 'analyser',
  probe: 'probe',
  'probe-end': 'probe',
  cable: 'probe',
};

const ATTENUATOR_WORDS: Readonly<Record<string, AttenuatorKind>> = {
  internal: 'internal',
  external: 'external',
  pad: 'external',
  'external-corrected': 'external-corrected',
};

const DETECTOR_WORDS: Readonly<Record<string, Detector>> = {
  sample: 'sample',
  rms: 'rms',
  average: 'average',
  av: 'average',
  'positive-peak': 'positive-peak',
  peak: 'positive-peak',
  pk: 'positive-peak',
  'negative-peak': 'negative-peak',
  'quasi-peak': 'quasi-peak',
  qp: 'quasi-peak',
  normal: 'normal',
  unknown: 'unknown',
};

function wordCell<T extends string>(row: TableRow, column: string, words: Readonly<Record<string, T>>): T | null {
  const text = row.textOrNull(column);
  if (text === null) return null;
  const word = Object.entries(words).find(([spelling]) => spelling === text.toLowerCase().replace(/[\s_-]+/g, '-'));
  if (word !== undefined) return word[1];
  const expected = [...new Set(Object.values(words))].join(', ');
  throw row.problem(column, `“${text}”`, expected, 'Use one of these words.');
}
