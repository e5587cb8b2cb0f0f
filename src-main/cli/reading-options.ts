import type { ReadingHints } from '../model/reading-hints.ts';
import { frequencyFactor, parseLevelUnit } from '../units/parse-unit.ts';
import { WrongCall } from './terminal.ts';

/** Options that say how a file is to be read where it does not say, or says wrongly; for parseArgs. */
export const READING_OPTIONS = {
  separator: { type: 'string', multiple: true },
  'decimal-mark': { type: 'string', multiple: true },
  'first-row': { type: 'string', multiple: true },
  'axis-column': { type: 'string', multiple: true },
  'level-columns': { type: 'string', multiple: true },
  axis: { type: 'string', multiple: true },
  'frequency-unit': { type: 'string', multiple: true },
  unit: { type: 'string', multiple: true },
  'start-hz': { type: 'string', multiple: true },
  'step-hz': { type: 'string', multiple: true },
  'two-channels': { type: 'string', multiple: true },
} as const;

export type ReadingOptionName = keyof typeof READING_OPTIONS;
export const READING_OPTION_NAMES = Object.keys(READING_OPTIONS) as ReadingOptionName[];

const SEPARATORS: Readonly<Record<string, NonNullable<ReadingHints['separator']>>> = {
  comma: ',',
  semicolon: ';',
  tab: '\t',
  bar: '|',
  blank: ' ',
};

/**
 * What the call says of how files are read.
 *
 * @param only gives the one value of an option, or null
 * @throws WrongCall
 */
export function readingOptions(only: (name: ReadingOptionName) => string | null): ReadingHints {
  const wrong = (name: ReadingOptionName, expected: string): never => {
    throw new WrongCall(`--${name} is "${only(name)!}"; expected ${expected}`);
  };
  function chosen<T extends string>(name: ReadingOptionName, words: Readonly<Record<string, T>>): T | undefined {
    const text = only(name);
    return text === null ? undefined : (words[text] ?? wrong(name, `one of ${Object.keys(words).join(', ')}`));
  }
  const number = (
    name: ReadingOptionName,
    expected: string,
    isGood: (value: number) => boolean,
  ): number | undefined => {
    const text = only(name);
    if (text === null) return undefined;
    const value = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(text) ? Number(text) : NaN;
    return Number.isFinite(value) && isGood(value) ? value : wrong(name, expected);
  };
  const column = (value: number): boolean => Number.isInteger(value) && value >= 1 && value <= 4096;
  const levels = only('level-columns')?.split(',').map(Number);
  if (levels?.every(column) === false) wrong('level-columns', 'numbers of columns, from 1, parted by commas: 2,4');
  const frequencyUnit = only('frequency-unit');
  const factor =
    frequencyUnit === null
      ? undefined
      : (frequencyFactor(frequencyUnit) ?? wrong('frequency-unit', 'Hz, kHz, MHz or GHz'));
  const unit = only('unit') ?? undefined;
  if (unit !== undefined && parseLevelUnit(unit) === null) wrong('unit', 'a level unit such as dBm, dBµV or V');
  const firstRow = number(
    'first-row',
    'the number of a line, from 1',
    (value) => Number.isInteger(value) && value >= 1,
  );
  const startHz = number('start-hz', 'a number', () => true);
  const stepHz = number('step-hz', 'a number above 0', (value) => value > 0);
  if ((startHz === undefined) !== (stepHz === undefined)) throw new WrongCall('--start-hz and --step-hz go together');
  const all = {
    separator: chosen('separator', SEPARATORS),
    decimalMark: chosen('decimal-mark', { point: '.', comma: ',' } as const),
    headerLines: firstRow === undefined ? undefined : firstRow - 1,
    frequencyColumn: number('axis-column', 'the number of a column, from 1', column),
    levelColumns: levels,
    axisIs: chosen('axis', { frequency: 'frequency', time: 'time' } as const),
    frequencyFactor: factor,
    unit,
    startHz,
    stepHz,
    twoChannelsAre: chosen('two-channels', { iq: 'iq', signals: 'channels' } as const),
  };
  return Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined));
}
