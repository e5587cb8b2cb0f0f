import type { Capture, CaptureSettings } from '../../model/capture.ts';
import type { Condition } from '../../model/condition.ts';
import { InputError } from '../../model/input-problem.ts';
import type { Trace } from '../../model/trace.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';

export interface ChosenTrace {
  /** The trace with the unit that holds: the condition's where it states one. Settings are still the file's own. */
  readonly trace: Trace;
  readonly traceIndex: number;
  readonly warnings: readonly string[];
}

/**
 * The trace of a capture that is to be analysed: `traceIndex`, or the first that is not blank.
 *
 * Says by name which traces were passed over, and where a condition contradicts what the file states (the condition holds).
 *
 * @throws InputError where there is no such trace, every trace is blank, or the condition names a unit nobody knows.
 */
export function chooseTrace(capture: Capture, traceIndex: number | null, condition: Condition | null): ChosenTrace {
  if (capture.traces.length === 0) throw noSpectrum(capture);
  const index = traceIndex ?? capture.traces.findIndex((candidate) => !isBlank(candidate));
  const trace = capture.traces[index];
  if (traceIndex !== null && trace === undefined) {
    throw new InputError({
      file: capture.file,
      place: `trace ${traceIndex + 1}`,
      found: `${capture.traces.length} ${capture.traces.length === 1 ? 'trace' : 'traces'}`,
      expected: `at least ${traceIndex + 1}`,
      wayOut: 'Choose one of the traces there are, or leave the choice to the program.',
    });
  }
  if (trace === undefined || isBlank(trace)) {
    throw new InputError({
      file: capture.file,
      place: traceIndex === null ? 'every trace' : `trace ${traceIndex + 1}`,
      found: 'no value at any point',
      expected: 'at least one level',
      wayOut: 'Export the trace again with the trace switched on.',
    });
  }
  const warnings = [...aboutOtherTraces(capture, index), ...contradictions(trace, condition)];
  return { trace: withStatedUnit(trace, condition), traceIndex: index, warnings };
}

/** A file that was understood and holds no spectrum: a network parameter file. */
function noSpectrum({ file, layout }: Capture): InputError {
  return new InputError({
    file,
    place: 'whole file',
    found: `${layout}, and no spectrum`,
    expected: 'a spectrum, or a recording of which one can be made',
    wayOut: 'Gains and losses against frequency are taken in as calibration tables.',
  });
}

/** The trace in the unit that a condition states, or in its own where none is stated. Throws InputError for a unit nobody knows. */
export function withStatedUnit(trace: Trace, condition: Condition | null): Trace {
  return condition === null || condition.unit === null ? trace : { ...trace, unit: unitOf(condition.unit, condition) };
}

/** True where no point has a value. */
export function isBlank({ level }: Trace): boolean {
  return level.every((value) => Number.isNaN(value));
}

function unitOf(name: string, condition: Condition) {
  const unit = parseLevelUnit(name);
  if (unit !== null) return unit;
  throw new InputError({
    file: condition.file,
    place: 'unit in its row of the conditions',
    found: `"${name}"`,
    expected: 'a level unit such as dBm, dBµV, dBV, V, W or dBm/Hz',
    wayOut: 'Correct the unit in the conditions, or leave it empty so that the file’s own holds.',
  });
}

function aboutOtherTraces(capture: Capture, index: number): string[] {
  if (capture.traces.length === 1) return [];
  const others = capture.traces.flatMap((trace, i) =>
    i === index ? [] : [`${nameOf(trace, i)}${isBlank(trace) ? ', blank' : ''}`],
  );
  return [`Only trace ${nameOf(capture.traces[index]!, index)} was analysed, not ${others.join('; ')}.`];
}

function nameOf(trace: Trace, index: number): string {
  return trace.label === '' ? String(index + 1) : `${index + 1} (${trace.label})`;
}

const COMPARED: readonly (readonly [keyof CaptureSettings & keyof Condition, string])[] = [
  ['rbwHz', 'RBW in Hz'],
  ['averages', 'averages'],
  ['averaging', 'averaging'],
  ['detector', 'detector'],
  ['attenuationDb', 'attenuation in dB'],
  ['gainDb', 'gain in dB'],
  ['gainState', 'gain state'],
];

function contradictions({ settings, unit }: Trace, condition: Condition | null): string[] {
  if (condition === null) return [];
  const pairs = COMPARED.map(([field, words]) => ({ words, file: settings[field], stated: condition[field] }));
  const all = [...pairs, { words: 'unit', file: unit.name, stated: condition.unit }];
  return all
    .filter(
      ({ file, stated }) =>
        (file ?? null) !== null && file !== 'unknown' && (stated ?? null) !== null && file !== stated,
    )
    .map(
      ({ words, file, stated }) =>
        `The conditions say ${words} ${stated}, the file says ${file}: the conditions were taken.`,
    );
}
