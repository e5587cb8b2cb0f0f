import type { Averaging, CaptureSettings, Detector } from '../../model/capture.ts';
import { UNKNOWN_SETTINGS } from '../../model/capture.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import { frequencyFactor, parseLevelUnit } from '../../units/parse-unit.ts';
import type { Dialect } from './rows.ts';
import { BLANK } from './rows.ts';

/** One statement of the preamble: a key in lower case with its values, as written. */
export interface Entry {
  readonly key: string;
  readonly values: readonly string[];
  readonly line: number;
}

/** Splits a line of text into trimmed cells, without quotes. */
export function splitCells(text: string, dialect: Dialect): string[] {
  const parts =
    dialect.delimiter === BLANK ? text.trim().split(/\s+/) : text.split(String.fromCharCode(dialect.delimiter));
  return parts.map((part) =>
    part
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  );
}

const isNumber = (text: string): boolean => /^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eEdD][+-]?\d+)?$/.test(text);

/**
 * Statements of a preamble in any of the usual forms: `key,value[,value…]`, `key: value`, `key = value`, several pairs side by
 * side on one line, a key with its unit in brackets. Lines that state nothing give nothing.
 */
export function readEntries(lines: readonly { text: string; line: number }[], dialect: Dialect): Entry[] {
  const entries: Entry[] = [];
  const push = (key: string, values: string[], line: number): void => {
    const plain = key
      .replace(/^[#!%;/*\s]+/, '')
      .replace(/[:=\s]+$/, '')
      .trim()
      .toLowerCase();
    if (plain !== '' && values.length > 0) entries.push({ key: plain, values, line });
  };
  for (const { text, line } of lines) {
    const bare = text.replace(/^[#!%;/*\s]+/, '');
    // the table's delimiter may be a blank; a preamble line then still uses : or = or a comma
    const delimiter =
      dialect.delimiter === BLANK ? (/[;,\t]/.exec(bare)?.[0] ?? '\0') : String.fromCharCode(dialect.delimiter);
    let cells = bare.split(delimiter).map((cell) =>
      cell
        .trim()
        .replace(/^"(.*)"$/, '$1')
        .trim(),
    );
    while (cells.length > 1 && cells[cells.length - 1] === '') cells = cells.slice(0, -1);
    if (cells.length === 1) {
      const pair = /^([^:=]{2,60}?)\s*[:=]\s*(\S.*)$/.exec(cells[0]!);
      if (pair !== null) push(pair[1]!, [pair[2]!.trim()], line);
      continue;
    }
    // key, value(s); where a later cell is text followed by a value, another pair begins
    let i = 0;
    while (i < cells.length) {
      const key = cells[i++]!;
      const values: string[] = [];
      const inline = /^([^:=]{2,60}?)\s*[:=]\s*(\S.*)$/.exec(key);
      if (inline !== null && cells.length > 1 && !/[:=]\s*$/.test(key)) values.push(inline[2]!.trim());
      while (i < cells.length) {
        const startsPair = values.length > 0 && looksLikeKey(cells[i]!) && i + 1 < cells.length && cells[i + 1] !== '';
        if (startsPair) break;
        values.push(cells[i++]!);
      }
      push(inline !== null && values[0] === inline[2]!.trim() ? inline[1]! : key, values, line);
    }
  }
  return entries;
}

function looksLikeKey(text: string): boolean {
  return KEYS.some(([pattern]) => pattern.test(text.toLowerCase())) && !isNumber(text);
}

type Field =
  | 'rbw'
  | 'rbwShape'
  | 'vbw'
  | 'averages'
  | 'averaging'
  | 'detector'
  | 'traceType'
  | 'attenuation'
  | 'gain'
  | 'sweepTime'
  | 'referenceLevel'
  | 'start'
  | 'stop'
  | 'centre'
  | 'span'
  | 'points'
  | 'step'
  | 'levelUnit'
  | 'frequencyUnit'
  | 'date'
  | 'traceName'
  | 'accuracy'
  | 'passed over';

/** What a key may be called. Order matters: the first that fits wins. */
const KEYS: readonly (readonly [RegExp, Field])[] = [
  [
    /^(rbw|res(olution)?\.? ?b(and)?w(idth)?|resolution bandwidth)\b.*(shape|filter ?(type|bw)|3 ?db|6 ?db)/,
    'rbwShape',
  ],
  [/^rbw filter bw/, 'rbwShape'],
  [/^vbw\/rbw|^rbw\/vbw|^rbw filter/, 'passed over'],
  [
    /^(rbw|res\.? ?bw|res(olution)?\.? ?b(and)?w(idth)?|if ?bw|if bandwidth|bandbreite|auflösebandbreite)\b(?!.*auto)/,
    'rbw',
  ],
  [/^(vbw|vid(eo)?\.? ?b(and)?w(idth)?)\b/, 'vbw'],
  [/^(avg|average|averaging|trace average)[ _]?(type|mode|kind|method)|^averaging$/, 'averaging'],
  [
    /^((number|no\.?|num|n)( of)?[ _]?)?(averages?|avgs?|sweeps averaged|sweeps|mittelungen)\b([ _]?(count|number))?$|^(average|avg|averaging|sweep)[ _]?(count|number|factor)/,
    'averages',
  ],
  [/^(trace )?detector( type| mode)?\b|^detektor/, 'detector'],
  [/^trace[ _]?(type|mode)|^trace 1 mode|^display mode/, 'traceType'],
  [/^(rf |input |mech(anical)? )?att(en(uation|uator)?)?\b/, 'attenuation'],
  [/^(pre-?amp(lifier)? gain|external gain|gain)\b/, 'gain'],
  [/^(sweep ?time|swt|acquisition time)\b/, 'sweepTime'],
  [/^ref(erence)?\.?( ?level)?( |$|\()(?!.*offset)/, 'referenceLevel'],
  [/^(start|begin|f ?start|freq(uency)? ?start)([ _-]?freq(uency)?)?\b|^startfrequenz/, 'start'],
  [/^(stop|end|f ?stop|freq(uency)? ?stop)([ _-]?freq(uency)?)?\b|^stoppfrequenz|^stopfrequenz/, 'stop'],
  [/^(cent(er|re)|cf|mittenfrequenz)([ _-]?freq(uency)?)?\b/, 'centre'],
  [/^span([ _-]?freq(uency)?)?\b/, 'span'],
  [/^(step|freq(uency)? ?step|bin ?width|frequency resolution)\b/, 'step'],
  [
    /^((number|no\.?|num)( of)?[ _]?)?(sweep |trace |data )?points?( count)?$|^num points|^messpunkte|^values$/,
    'points',
  ],
  [/^(y|level|amplitude|trace)[ _-]*(axis)?[ _-]*units?$|^trace data$|^unit$|^units$|^level$|^einheit$/, 'levelUnit'],
  [/^(x|freq(uency)?)[ _-]*(axis)?[ _-]*units?$/, 'frequencyUnit'],
  [/^(date|time|datum|timestamp|acquisition start|recorded|taken)\b/, 'date'],
  [/^trace[ _]?name/, 'traceName'],
  [/^frequency accuracy|^reference accuracy/, 'accuracy'],
];

/** Everything a preamble said, by trace where it said it by trace. */
export interface Preamble {
  settingsFor(trace: number, traces: number): CaptureSettings;
  nameOf(trace: number, traces: number): string | null;
  readonly startHz: number | null;
  readonly stopHz: number | null;
  readonly stepHz: number | null;
  readonly points: number | null;
  readonly levelUnits: readonly LevelUnit[];
  readonly frequencyFactor: number | null;
  readonly warnings: readonly string[];
}

/** A number with an optional unit behind it: 3 kHz, 1,5E+6;Hz, -20 dBm. `unit` is '' where there is none. */
export function numberWithUnit(text: string, nextCell: string | undefined): { value: number; unit: string } | null {
  const match = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*([a-zA-Zµμ%].*)?$/.exec(text.trim());
  if (match === null) return null;
  const value = Number(match[1]!.replace(',', '.'));
  if (!Number.isFinite(value)) return null;
  let unit = match[2]?.trim() ?? '';
  if (unit === '' && nextCell !== undefined && !isNumber(nextCell)) unit = nextCell.trim();
  return { value, unit };
}

export function readPreamble(entries: readonly Entry[]): Preamble {
  const byField = new Map<Field, Entry>();
  const levelUnits: LevelUnit[] = [];
  const warnings: string[] = [];
  for (const entry of entries) {
    const key = entry.key.replace(/\s*[([].*$/, '').trim();
    for (const [pattern, field] of KEYS) {
      if (!pattern.test(key)) continue;
      if (field === 'levelUnit') {
        for (const value of entry.values) {
          const unit = parseLevelUnit(value.replace(/^\(?unit:?/i, '').replace(/[()]/g, ''));
          if (unit !== null) levelUnits.push(unit);
        }
      } else if (!byField.has(field)) byField.set(field, entry);
      break;
    }
  }

  const frequency = (field: Field): number | null => {
    const entry = byField.get(field);
    if (entry === undefined) return null;
    const read = numberWithUnit(entry.values[0]!, entry.values[1]);
    if (read === null) return null;
    const bracket = /[([]\s*([a-zA-Z]+)\s*[)\]]/.exec(entry.key)?.[1] ?? '';
    const factor = frequencyFactor(read.unit.split(/[\s(]/)[0]!) ?? frequencyFactor(bracket) ?? 1;
    return read.value * factor;
  };
  const number = (field: Field, trace = 0): number | null => {
    const entry = byField.get(field);
    if (entry === undefined) return null;
    const cell = entry.values[trace] ?? entry.values[0]!;
    const read = numberWithUnit(cell, undefined);
    return read === null ? null : read.value;
  };
  const text = (field: Field, trace: number, traces: number): string | null => {
    const entry = byField.get(field);
    if (entry === undefined) return null;
    const value = entry.values.length >= traces && traces > 1 ? entry.values[trace] : entry.values[0];
    return value === undefined || value === '' ? null : value;
  };

  const centreHz = frequency('centre');
  const spanHz = frequency('span');
  const startHz = frequency('start') ?? (centreHz !== null && spanHz !== null ? centreHz - spanHz / 2 : null);
  const stopHz = frequency('stop') ?? (centreHz !== null && spanHz !== null ? centreHz + spanHz / 2 : null);

  return {
    startHz,
    stopHz,
    stepHz: frequency('step'),
    points: number('points'),
    levelUnits,
    frequencyFactor: frequencyFactor(byField.get('frequencyUnit')?.values[0] ?? ''),
    warnings,
    nameOf: (trace, traces) => text('traceName', trace, traces),
    settingsFor(trace, traces): CaptureSettings {
      const traceType = text('traceType', trace, traces);
      const averagingText = text('averaging', trace, traces);
      const detectorText = text('detector', trace, traces);
      const count = number('averages', trace);
      const sweep = byField.get('sweepTime');
      const sweepRead = sweep === undefined ? null : numberWithUnit(sweep.values[0]!, sweep.values[1]);
      const averaging = averagingOf(traceType, averagingText, count);
      const shape = text('rbwShape', trace, traces);
      const accuracy = number('accuracy');
      return {
        ...UNKNOWN_SETTINGS,
        rbwHz: positive(frequency('rbw')),
        rbwShape: shape === null ? null : /6/.test(shape) ? '6 dB' : /3/.test(shape) ? '3 dB' : null,
        vbwHz: positive(frequency('vbw')),
        averages: averaging === 'none' ? 1 : count !== null && count >= 1 ? count : null,
        averaging,
        detector: detectorOf(detectorText),
        attenuationDb: number('attenuation', 0),
        gainDb: number('gain', 0),
        sweepTimeS:
          sweepRead === null
            ? null
            : sweepRead.value * (/^ms/i.test(sweepRead.unit) ? 1e-3 : /^[uµμ]s/i.test(sweepRead.unit) ? 1e-6 : 1),
        referenceLevel: number('referenceLevel', 0),
        frequencyAccuracyPpm: accuracy,
        takenAt:
          byField.get('date')?.key.includes('/') === true ? null : (byField.get('date')?.values.join(' ') ?? null),
      };
    },
  };
}

function positive(value: number | null): number | null {
  return value !== null && value > 0 ? value : null;
}

/** The averaging of a trace from its mode (max hold, clear/write, average), the kind of averaging and the number of sweeps. */
function averagingOf(traceType: string | null, kind: string | null, count: number | null): Averaging {
  const mode = (traceType ?? '').toLowerCase();
  if (/max/.test(mode)) return 'max-hold';
  if (/min/.test(mode)) return 'min-hold';
  const byKind = averagingKind(kind);
  if (/clear|write|live|view|blank|single/.test(mode) && !/av/.test(mode) && (count === null || count <= 1)) {
    // the stated kind of averaging acts within the sweep only; one sweep is one look of it
    return /clear|write|single/.test(mode) ? 'none' : byKind;
  }
  if (byKind === 'unknown' && count === 1) return 'none';
  return byKind;
}

export function averagingKind(text: string | null): Averaging {
  const plain = (text ?? '').toLowerCase();
  if (/max/.test(plain)) return 'max-hold';
  if (/min/.test(plain)) return 'min-hold';
  if (/log|video|db/.test(plain)) return 'log';
  if (/rms|power|pwr|lin.*pow|leistung/.test(plain)) return 'power';
  if (/volt|amplitude|linear/.test(plain)) return 'voltage';
  if (/^(none|off|no)$/.test(plain)) return 'none';
  return 'unknown';
}

export function detectorOf(text: string | null): Detector {
  const plain = (text ?? '').toLowerCase();
  if (/quasi|^qp/.test(plain)) return 'quasi-peak';
  if (/neg|min/.test(plain)) return 'negative-peak';
  if (/peak|^pk|pos|max/.test(plain)) return 'positive-peak';
  if (/sample|samp/.test(plain)) return 'sample';
  if (/rms/.test(plain)) return 'rms';
  if (/av/.test(plain)) return 'average';
  if (/norm|rosen|auto/.test(plain)) return 'normal';
  return 'unknown';
}
