import type { ReadingHints } from '../../src-main/model/reading-hints.ts';

/** The corrections as they are typed; an empty field leaves the choice to the reader. */
export interface ReadingForm {
  separator: string;
  decimalMark: string;
  headerLines: string;
  frequencyColumn: string;
  levelColumns: string;
  axisIs: string;
  frequencyFactor: string;
  unit: string;
  sampleRateHz: string;
  centreHz: string;
  startHz: string;
  stepHz: string;
  twoChannelsAre: string;
}

export const EMPTY_FORM: ReadingForm = {
  separator: '',
  decimalMark: '',
  headerLines: '',
  frequencyColumn: '',
  levelColumns: '',
  axisIs: '',
  frequencyFactor: '',
  unit: '',
  sampleRateHz: '',
  centreHz: '',
  startHz: '',
  stepHz: '',
  twoChannelsAre: '',
};

/** Words for separators that a list can show. */
export const SEPARATORS: readonly (readonly [value: string, words: string])[] = [
  [',', 'comma'],
  [';', 'semicolon'],
  ['\t', 'tab'],
  ['|', 'bar'],
  [' ', 'blank'],
];

export function formOf(hints: ReadingHints): ReadingForm {
  const text = (value: string | number | undefined): string => (value === undefined ? '' : String(value));
  return {
    separator: text(hints.separator),
    decimalMark: text(hints.decimalMark),
    headerLines: hints.headerLines === undefined ? '' : String(hints.headerLines + 1),
    frequencyColumn: text(hints.frequencyColumn),
    levelColumns: hints.levelColumns?.join(' ') ?? '',
    axisIs: text(hints.axisIs),
    frequencyFactor: text(hints.frequencyFactor),
    unit: text(hints.unit),
    sampleRateHz: text(hints.sampleRateHz),
    centreHz: text(hints.centreHz),
    startHz: text(hints.startHz),
    stepHz: text(hints.stepHz),
    twoChannelsAre: text(hints.twoChannelsAre),
  };
}

/** What is typed as corrections, and what is wrong with it, field by field. The first row's line is one behind the header's lines. */
export function hintsOf(form: ReadingForm): {
  hints: ReadingHints;
  problems: Partial<Record<keyof ReadingForm, string>>;
} {
  const problems: Partial<Record<keyof ReadingForm, string>> = {};
  const number = (field: keyof ReadingForm, least: number, whole: boolean): number | undefined => {
    const typed = form[field].trim().replace(',', '.').replace('\u2212', '-');
    if (typed === '') return undefined;
    const value = Number(typed);
    const good = Number.isFinite(value) && value >= least && (!whole || Number.isInteger(value));
    if (!good)
      problems[field] =
        `“${form[field]}” is no ${whole ? 'whole ' : ''}number${least > -Infinity ? ` of ${least === Number.MIN_VALUE ? 'more than 0' : `${least} or more`}` : ''}`;
    return good ? value : undefined;
  };
  const words = form.levelColumns.trim() === '' ? [] : form.levelColumns.trim().split(/[\s,;]+/);
  const levelColumns = words.map(Number);
  if (levelColumns.some((column) => !Number.isInteger(column) || column < 1 || column > 4096))
    problems.levelColumns = 'numbers of columns, counted from 1, parted by blanks';
  const firstRow = number('headerLines', 1, true);
  const startHz = number('startHz', -Infinity, false);
  const stepHz = number('stepHz', Number.MIN_VALUE, false);
  if (
    (startHz === undefined) !== (stepHz === undefined) &&
    problems.stepHz === undefined &&
    problems.startHz === undefined
  )
    problems[startHz === undefined ? 'startHz' : 'stepHz'] = 'first frequency and step go together';
  const all = {
    separator: form.separator || undefined,
    decimalMark: form.decimalMark || undefined,
    headerLines: firstRow === undefined ? undefined : firstRow - 1,
    frequencyColumn: number('frequencyColumn', 1, true),
    levelColumns: levelColumns.length > 0 && problems.levelColumns === undefined ? levelColumns : undefined,
    axisIs: form.axisIs || undefined,
    frequencyFactor: number('frequencyFactor', Number.MIN_VALUE, false),
    unit: form.unit.trim() || undefined,
    sampleRateHz: number('sampleRateHz', Number.MIN_VALUE, false),
    centreHz: number('centreHz', -Infinity, false),
    startHz,
    stepHz,
    twoChannelsAre: form.twoChannelsAre || undefined,
  };
  const hints = Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as ReadingHints;
  return { hints, problems };
}
