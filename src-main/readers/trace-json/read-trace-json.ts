import type { Averaging, CaptureSettings, ComputedLine, Detector, ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { InstrumentLine } from '../../model/instrument-line.ts';
import type { LevelScale, LevelUnit } from '../../model/level-unit.ts';
import { decode } from '../delimited/text.ts';

/** A string of the language holds no more; ten million points take about half of it. */
const MOST_BYTES = 500e6;
const AVERAGING: readonly Averaging[] = ['none', 'power', 'log', 'voltage', 'max-hold', 'min-hold', 'unknown'];
const DETECTORS: readonly Detector[] = [
  'sample',
  'rms',
  'average',
  'positive-peak',
  'negative-peak',
  'quasi-peak',
  'normal',
  'unknown',
];
const SHAPES = ['3 dB', '6 dB', 'noise'] as const;
const SCALES: readonly LevelScale[] = ['decibel', 'power', 'amplitude'];
const INSTRUMENT_KINDS: readonly InstrumentLine['kind'][] = ['dc', 'image', 'side-lobe'];

/** Whether a text begins as a trace that this program wrote as JSON. */
export function isTraceJson(head: Uint8Array): boolean {
  return /^\ufeff?\s*\{\s*"schema"\s*:\s*"spurledger\.trace\/1"/.test(
    decode(head, 0, Math.min(head.length, 256), 'UTF-8'),
  );
}

/**
 * A trace as `traceDocument` writes it (`spurledger.trace/1`), with the same numbers and settings. A level of null is blank; a setting that
 * is missing or null is unknown; the file it was once read from is named in the layout.
 *
 * @throws InputError naming the field where something is wrong
 */
export function readTraceJson(bytes: Uint8Array, file: string): ReadCapture {
  const refuse = (place: string, found: string, expected: string): never => {
    throw new InputError({ file, place, found, expected, wayOut: 'Take the trace out as JSON again.' });
  };
  if (bytes.length > MOST_BYTES) return refuse('the whole file', `${bytes.length} bytes`, `at most ${MOST_BYTES}`);
  let parsed: unknown;
  try {
    parsed = JSON.parse(decode(bytes, bytes[0] === 0xef ? 3 : 0, bytes.length, 'UTF-8'));
  } catch (error) {
    return refuse('the whole file', `no JSON (${String(error).slice(0, 120)})`, 'a JSON object');
  }
  const fields = new Fields(parsed, '', refuse);
  const frequencyHz = fields.numbers('frequency_hz', false);
  const level = fields.numbers('level', true);
  if (frequencyHz.length < 2) return refuse('frequency_hz', `${frequencyHz.length} points`, 'at least two');
  if (level.length !== frequencyHz.length)
    return refuse('level', `${level.length} levels`, `${frequencyHz.length}, one at each frequency`);
  const turn = frequencyHz.findIndex((hz, i) => i > 0 && !(hz > frequencyHz[i - 1]!));
  if (turn > 0) return refuse(`frequency_hz, place ${turn + 1}`, String(frequencyHz[turn]), 'ascending frequencies');

  const unit: LevelUnit = {
    name: fields.text('unit') ?? 'unknown',
    scale: fields.oneOf('unit_scale', SCALES) ?? refuse('unit_scale', 'nothing', SCALES.join(', ')),
    perHz: fields.flag('unit_per_hz'),
  };
  const from = fields.text('file');
  const isOffset = fields.oneOf('axis', ['absolute', 'offset']) === 'offset';
  const instrument = fields.objects('instrument').map(instrumentLine);
  return {
    layout: `a trace taken out as JSON${from === null ? '' : ` of “${from}”`}`,
    traces: [
      {
        label: fields.text('label') ?? '',
        frequencyHz,
        level,
        unit,
        settings: settingsOf(fields.object('settings')),
        ...(instrument.length > 0 ? { instrument } : {}),
        ...(isOffset ? { axis: 'offset' as const } : {}),
      },
    ],
    warnings: level.every(Number.isNaN) ? ['Every level of the trace is blank.'] : [],
  };
}

function settingsOf(fields: Fields): CaptureSettings {
  const gainState = fields.text('gain_state');
  const clippedSamples = fields.number('clipped_samples');
  const channelResponse = fields.text('channel_response');
  const centreHz = fields.number('centre_hz');
  const line = fields.has('computed_line') ? computedLine(fields.object('computed_line')) : null;
  return {
    rbwHz: fields.positive('rbw_hz'),
    rbwShape: fields.oneOf('rbw_shape', SHAPES),
    vbwHz: fields.positive('vbw_hz'),
    averages: fields.positive('averages'),
    averaging: fields.oneOf('averaging', AVERAGING) ?? 'unknown',
    detector: fields.oneOf('detector', DETECTORS) ?? 'unknown',
    attenuationDb: fields.number('attenuation_db'),
    gainDb: fields.number('gain_db'),
    sweepTimeS: fields.positive('sweep_time_s'),
    referenceLevel: fields.number('reference_level'),
    frequencyAccuracyPpm: fields.number('frequency_accuracy_ppm'),
    takenAt: fields.text('taken_at'),
    ...(line === null ? {} : { computedLine: line }),
    ...(clippedSamples === null ? {} : { clippedSamples }),
    ...(gainState === null ? {} : { gainState }),
    ...(centreHz === null ? {} : { centreHz }),
    ...(channelResponse === null ? {} : { channelResponse }),
  };
}

function computedLine(fields: Fields): ComputedLine {
  return {
    coefficients: [...fields.numbers('coefficients', false)],
    halfPowerBins: fields.needed('half_power_bins'),
    widthHz: fields.needed('width_hz'),
  };
}

function instrumentLine(fields: Fields): InstrumentLine {
  return {
    kind: fields.oneOf('kind', INSTRUMENT_KINDS) ?? 'dc',
    lowHz: fields.needed('low_hz'),
    highHz: fields.needed('high_hz'),
    why: fields.text('why') ?? '',
  };
}

type Refuse = (place: string, found: string, expected: string) => never;

/** One object of the document, each field asked for by its kind. */
class Fields {
  readonly #values: Readonly<Record<string, unknown>>;
  readonly #place: string;
  readonly #refuse: Refuse;

  constructor(value: unknown, place: string, refuse: Refuse) {
    if (typeof value !== 'object' || value === null || Array.isArray(value))
      refuse(place === '' ? 'the whole file' : place, 'no object', 'an object of named fields');
    this.#values = value as Readonly<Record<string, unknown>>;
    this.#place = place === '' ? '' : `${place}.`;
    this.#refuse = refuse;
  }

  has(name: string): boolean {
    return Object.hasOwn(this.#values, name) && this.#values[name] !== null;
  }

  text(name: string): string | null {
    return this.#get(name, 'text', (value): value is string => typeof value === 'string');
  }

  number(name: string): number | null {
    return this.#get(name, 'a number', (value): value is number => Number.isFinite(value));
  }

  positive(name: string): number | null {
    return this.#get(
      name,
      'a number above 0',
      (value): value is number => Number.isFinite(value) && (value as number) > 0,
    );
  }

  needed(name: string): number {
    return this.number(name) ?? this.#refuse(`${this.#place}${name}`, 'nothing', 'a number');
  }

  flag(name: string): boolean {
    return this.#get(name, 'true or false', (value): value is boolean => typeof value === 'boolean') ?? false;
  }

  oneOf<Word extends string>(name: string, words: readonly Word[]): Word | null {
    return this.#get(name, words.join(', '), (value): value is Word => words.includes(value as Word));
  }

  object(name: string): Fields {
    return new Fields(this.has(name) ? this.#values[name] : {}, `${this.#place}${name}`, this.#refuse);
  }

  objects(name: string): readonly Fields[] {
    const list = this.#get(name, 'a list', (value): value is unknown[] => Array.isArray(value)) ?? [];
    return list.map((value, i) => new Fields(value, `${this.#place}${name}, place ${i + 1}`, this.#refuse));
  }

  /** @param blank whether null may stand for a value that is not there */
  numbers(name: string, blank: boolean): Float64Array {
    const list = this.#get(name, 'a list of numbers', (value): value is unknown[] => Array.isArray(value)) ?? [];
    const numbers = new Float64Array(list.length);
    for (const [i, value] of list.entries())
      if (Number.isFinite(value)) numbers[i] = value as number;
      else if (blank && value === null) numbers[i] = NaN;
      else this.#refuse(`${this.#place}${name}, place ${i + 1}`, shown(value), blank ? 'a number or null' : 'a number');
    return numbers;
  }

  #get<T>(name: string, expected: string, fits: (value: unknown) => value is T): T | null {
    if (!this.has(name)) return null;
    const value = this.#values[name];
    return fits(value) ? value : this.#refuse(`${this.#place}${name}`, shown(value), expected);
  }
}

function shown(value: unknown): string {
  return typeof value === 'object' && value !== null
    ? Array.isArray(value)
      ? 'a list'
      : 'an object'
    : `“${String(value).slice(0, 60)}”`;
}
