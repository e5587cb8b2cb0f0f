import type { Averaging, CaptureSettings } from '../../model/capture.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import { frequencyFactor, parseLevelUnit } from '../../units/parse-unit.ts';
import { numberWithUnit, type Line } from './cells.ts';
import type { Field } from './fields.ts';
import {
  averagingKind,
  countOf,
  detectorOf,
  filterShapeOf,
  secondsPer,
  traceModeOf,
  type TraceMode,
} from './setting-words.ts';
import { frequencyValue, type Statement } from './statements.ts';

/** What a preamble says of one block of traces. */
export interface Preamble {
  readonly startHz: number | null;
  readonly stopHz: number | null;
  readonly stepHz: number | null;
  readonly points: number | null;
  readonly frequencyFactor: number | null;
  readonly saysSampleRate: boolean;
  readonly warnings: readonly string[];
  /** @param words what the column's own name says, used where no statement does */
  settingsFor(trace: number, traces: number, words: string): { settings: CaptureSettings; warnings: string[] };
  nameOf(trace: number, traces: number): string | null;
  levelUnitOf(trace: number, traces: number): LevelUnit | null;
  /** The unit of the reference level: a hint to the level unit, no statement of it. */
  readonly referenceUnit: LevelUnit | null;
}

/**
 * Puts the statements of a preamble together.
 *
 * Where one thing is stated twice with different values, the later scope wins: `own` (lines between two blocks) over `common` (lines
 * above all blocks). Two values in one scope are a contradiction: nothing is taken, and it is said.
 *
 * @param lines the preamble's lines, for dates that stand on a line alone
 */
export function readPreamble(
  common: readonly Statement[],
  own: readonly Statement[],
  lines: readonly Line[],
): Preamble {
  const warnings: string[] = [];
  const all = (field: Field): readonly Statement[] => {
    const near = own.filter((statement) => statement.field === field);
    const found = near.length > 0 ? near : common.filter((statement) => statement.field === field);
    // `Average,On` beside `Averages,10`: the number says more than the switch
    const numbers = field === 'averages' ? found.filter(({ values }) => countOf(values[0]!) !== null) : [];
    return numbers.length > 0 ? numbers : found;
  };
  const general = (field: Field): Statement | null => all(field).find(({ trace }) => trace === null) ?? null;

  /** The text of a field for one trace: the statement that names the trace, its place among as many values as traces, or the only one. */
  const textFor = (field: Field, trace: number, traces: number): string | null => {
    const statements = all(field);
    const named = statements.find((statement) => statement.trace === trace);
    if (named !== undefined) return named.values[0]!;
    const open = statements.filter((statement) => statement.trace === null);
    if (open.length === 0) return null;
    if (traces > 1 && open.length === traces && new Set(open.map(({ values }) => values[0])).size > 1)
      return open[trace]!.values[0]!;
    const { values } = open[0]!;
    return (traces > 1 && values.length >= traces && values[trace] !== '' ? values[trace] : values[0]) ?? null;
  };

  /** Every distinct number stated for a field in its scope, in Hz; two of them are a contradiction. */
  const onlyFrequency = (field: Field, name: string): number | null => {
    const statements = all(field).filter((statement) => statement.trace === null);
    const read = statements.map(frequencyValue).filter((value) => value !== null);
    const distinct = [...new Set(read)];
    if (distinct.length > 1) {
      warnings.push(`The file states ${name} as ${distinct.join(' Hz and ')} Hz: it is taken as unknown.`);
      return null;
    }
    const unread = statements.find((statement) => frequencyValue(statement) === null);
    if (distinct.length === 0 && unread !== undefined)
      warnings.push(`“${unread.values[0]!.slice(0, 40)}” is no number for ${name}: it is taken as unknown.`);
    return distinct[0] ?? null;
  };
  const positive = (value: number | null): number | null => (value !== null && value > 0 ? value : null);

  const centreHz = onlyFrequency('centre', 'the centre frequency');
  const spanHz = positive(onlyFrequency('span', 'the span'));
  const fromSpan = (sign: number): number | null =>
    centreHz !== null && spanHz !== null ? centreHz + (sign * spanHz) / 2 : null;
  const startHz = onlyFrequency('start', 'the start frequency') ?? fromSpan(-1);
  const stopHz = onlyFrequency('stop', 'the stop frequency') ?? fromSpan(1);

  const statedRbw = positive(onlyFrequency('rbw', 'the RBW'));
  const noiseBandwidth = positive(onlyFrequency('noiseBandwidth', 'the noise bandwidth'));
  const bandwidth = positive(onlyFrequency('bandwidth', 'the bandwidth'));
  if (statedRbw === null && noiseBandwidth === null && bandwidth !== null)
    warnings.push(`“${general('bandwidth')!.key}” (${bandwidth} Hz) is taken to be the resolution bandwidth.`);
  const rbwHz = statedRbw ?? noiseBandwidth ?? bandwidth;
  const rbwText = [general('rbwShape')?.values[0], general('rbw')?.values.join(' '), general('rbw')?.key].join(' ');
  const rbwShape = statedRbw === null && noiseBandwidth !== null ? 'noise' : filterShapeOf(rbwText);
  const vbwHz = positive(onlyFrequency('vbw', 'the VBW'));

  const reference = general('referenceLevel');
  const referenceRead = reference === null ? null : numberWithUnit(reference.values[0]!);
  const referenceUnit =
    parseLevelUnit(referenceRead?.unit ?? '') ??
    parseLevelUnit(reference?.values[1] ?? '') ??
    parseLevelUnit(reference?.keyUnit ?? '');

  const unitsIn = (field: Field): LevelUnit[] =>
    all(field).flatMap(({ values, keyUnit }) =>
      [...values, keyUnit].flatMap((value) => {
        const unit = parseLevelUnit(value.replace(/^\(?unit ?[:=]?/i, '').replace(/\)$/, ''));
        return unit === null ? [] : [unit];
      }),
    );
  const levelUnits = [...unitsIn('levelUnit'), ...unitsIn('units')];
  const statedFactor = [...all('frequencyUnit'), ...all('units')]
    .flatMap(({ values }) => values.map(frequencyFactor))
    .find((factor) => factor !== null);

  return {
    startHz,
    stopHz,
    stepHz: positive(onlyFrequency('step', 'the step')),
    points: countOf(general('points')?.values[0] ?? null),
    frequencyFactor: statedFactor ?? null,
    saysSampleRate: all('sampleRate').length > 0,
    warnings,
    referenceUnit,
    nameOf: (trace, traces) => textFor('traceName', trace, traces),
    levelUnitOf: (trace, traces) => (levelUnits.length === traces ? levelUnits[trace]! : (levelUnits[0] ?? null)),
    settingsFor(trace, traces, words) {
      const own: string[] = [];
      const averaging = averagingFor(trace, traces, words, textFor, own);
      const detectorText = textFor('detector', trace, traces);
      const stated = detectorOf(detectorText);
      const named = detectorOf(detectorWordIn(words));
      if (named !== 'unknown' && named !== stated)
        own.push(
          `The detector of “${words}” is taken from that name${stated === 'unknown' ? '' : `, although the file says ${stated}`}.`,
        );
      const number = (field: Field): number | null =>
        numberWithUnit(textFor(field, trace, traces) ?? '')?.value ??
        numberWithUnit(general(field)?.values[0] ?? '')?.value ??
        null;
      const gain = general('gain');
      const gainText = gain?.values.map((value) => numberWithUnit(value)).find((read) => read !== null);
      const settings: CaptureSettings = {
        rbwHz,
        rbwShape,
        vbwHz,
        averages: averaging.averages,
        averaging: averaging.kind,
        detector: named === 'unknown' ? stated : named,
        attenuationDb: number('attenuation'),
        gainDb: gainText?.value ?? null,
        sweepTimeS: sweepTime(general('sweepTime')),
        referenceLevel: referenceRead?.value ?? null,
        frequencyAccuracyPpm: accuracyPpm(general('accuracy')),
        takenAt: takenAt(all('date'), lines),
      };
      return { settings, warnings: own };
    },
  };
}

const MODE_WORD = /max ?-?_?hold|maxhold|min ?-?_?hold|clear ?\/? ?write|\baverage\b|\bavg\b/i;

function detectorWordIn(words: string): string | null {
  return (
    /quasi-?peak|\bqp\b|\brms\b|\b(?:pos(?:itive)?[ -])?peak\b(?! ?hold)|\bsample\b|\bnegative peak\b|\bpk\b|\bav\b/i.exec(
      words,
    )?.[0] ?? null
  );
}

/**
 * The averaging of a trace from its mode (max hold, clear/write, average), the kind of averaging and the number of sweeps.
 * Clear/write with more than one sweep stated is a contradiction: both stay unknown.
 */
function averagingFor(
  trace: number,
  traces: number,
  words: string,
  textFor: (field: Field, trace: number, traces: number) => string | null,
  warnings: string[],
): { kind: Averaging; averages: number | null } {
  const kindText = textFor('averaging', trace, traces);
  const counted = textFor('averages', trace, traces);
  const countText = counted ?? (countOf(kindText) === null ? null : kindText);
  let mode: TraceMode = traceModeOf(textFor('traceMode', trace, traces));
  if (mode === null) {
    mode = traceModeOf(MODE_WORD.exec(words)?.[0] ?? null);
    if (mode !== null) warnings.push(`How “${words}” was taken (${mode}) is read from its name.`);
  }
  const count = countOf(countText);
  const kind =
    averagingKind(countOf(kindText) === null ? kindText : null) === 'unknown'
      ? kindIn(countText, kindText)
      : averagingKind(kindText);
  const sweeps = count !== null && count >= 1 ? count : null;
  if (mode === 'max-hold' || mode === 'min-hold') return { kind: mode, averages: sweeps };
  if (kind === 'none') return { kind, averages: 1 };
  if (mode === 'single' && (sweeps ?? 1) > 1) {
    warnings.push(`The file says single sweeps (clear/write) and ${sweeps} averages: neither is taken.`);
    return { kind: 'unknown', averages: null };
  }
  if (mode === 'single') return { kind: 'none', averages: 1 };
  // a kind of averaging with one sweep acts within the sweep only
  if (mode !== 'average' && sweeps === 1) return { kind: kind === 'unknown' ? 'none' : kind, averages: 1 };
  return { kind, averages: sweeps };
}

/** `64 (power)`, `Off`, `On`: a kind of averaging beside a count. */
function kindIn(countText: string | null, kindText: string | null): Averaging {
  const beside = /[a-z]+/i.exec(countText ?? '')?.[0] ?? null;
  const byCount = averagingKind(beside === null ? countText : (countText ?? '').replace(/[\d\s()]+/g, ' ').trim());
  return byCount !== 'unknown' && countText !== '0'
    ? byCount
    : averagingKind(countOf(kindText) === null ? kindText : null);
}

function sweepTime(statement: Statement | null): number | null {
  if (statement === null) return null;
  const read = numberWithUnit(statement.values[0]!);
  if (read === null) return null;
  const stated =
    read.unit !== '' ? read.unit : statement.keyUnit !== '' ? statement.keyUnit : (statement.values[1] ?? '');
  return read.value * (secondsPer(stated) ?? 1);
}

function accuracyPpm(statement: Statement | null): number | null {
  if (statement === null) return null;
  const read = numberWithUnit(statement.values[0]!.replace(/^(?:\+\/?-|±)\s*/, ''));
  if (read === null) return null;
  const unit = (
    read.unit !== '' ? read.unit : statement.keyUnit !== '' ? statement.keyUnit : (statement.values[1] ?? '')
  ).toLowerCase();
  if (unit.startsWith('ppm')) return read.value;
  if (unit.startsWith('ppb')) return read.value / 1000;
  // a bare number is a ratio where it is as small as one
  return unit === '' && read.value < 1e-3 ? read.value * 1e6 : null;
}

const DATE =
  /\b(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[./-]\d{1,2}[./-] ?\d{2,4}|\d{1,2}\.?[ /-]?[a-z]{3,9}[. /-] ?\d{2,4}|[a-z]{3,9} \d{1,2},? \d{4})\b/i;
const TIME = /\b\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?\b/;

/** When the capture was taken, as written: a statement, else a line that is a date and little more. */
function takenAt(statements: readonly Statement[], lines: readonly Line[]): string | null {
  const stated = statements.map(({ values }) => values.join(' ').trim()).find((text) => DATE.test(text));
  if (stated !== undefined) {
    const time = TIME.test(stated)
      ? undefined
      : statements.map(({ values }) => values[0]!).find((text) => TIME.test(text) && !DATE.test(text));
    return time === undefined ? stated : `${stated} ${time}`;
  }
  for (const { text } of lines.slice(0, 60)) {
    const date = DATE.exec(text);
    const time = TIME.exec(text);
    if (date !== null && time !== null && text.length < 80) {
      const from = Math.min(date.index, time.index);
      return text.slice(from, Math.max(date.index + date[0].length, time.index + time[0].length)).replace(/\s+/g, ' ');
    }
  }
  return null;
}
