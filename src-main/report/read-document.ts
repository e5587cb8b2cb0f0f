import type { Capture } from '../model/capture.ts';
import type { FrequencyTable } from '../model/frequency-table.ts';
import type { InputProblem } from '../model/input-problem.ts';
import { durationS, type Recording } from '../model/recording.ts';
import type { Trace } from '../model/trace.ts';
import type { Waterfall } from '../model/waterfall.ts';
import { plainJson, type Json } from './plain-json.ts';
import { problemDocument } from './problem-document.ts';

/** The document `spurledger.read/1`: what was understood of each file, and nothing computed from it. */
export function readDocument(captures: readonly Capture[], problems: readonly InputProblem[]): Json {
  return plainJson({
    schema: 'spurledger.read/1',
    captures: captures.map((capture) => ({
      file: capture.file,
      sha256: capture.sha256,
      layout: capture.layout,
      ...analysed(capture),
      traces: capture.traces.map(traceDocument),
      ...(capture.recordings === undefined ? {} : { recordings: capture.recordings.map(recordingDocument) }),
      ...(capture.waterfalls === undefined ? {} : { waterfalls: capture.waterfalls.map(waterfallDocument) }),
      ...(capture.tables === undefined ? {} : { tables: capture.tables.map(tableDocument) }),
      warnings: capture.warnings,
    })),
    problems: problems.map(problemDocument),
  });
}

/** The trace that a triage would take, under the same names as in its document. */
function analysed({ traces }: Capture) {
  const index = traces.findIndex(({ level }) => level.some((value) => !Number.isNaN(value)));
  const trace = traces[index] ?? traces[0];
  if (trace === undefined) {
    const none = 'the file holds no spectrum';
    const fields = ['trace_number', 'points', 'start_hz', 'stop_hz', 'rbw_hz', 'unit', 'averages'];
    return {
      ...Object.fromEntries(fields.map((field) => [field, null])),
      reasons: Object.fromEntries(fields.map((field) => [field, none])),
    };
  }
  return {
    trace_number: Math.max(0, index) + 1,
    points: trace.frequencyHz.length,
    start_hz: trace.frequencyHz[0]!,
    stop_hz: trace.frequencyHz.at(-1)!,
    rbw_hz: trace.settings.rbwHz,
    unit: trace.unit.name,
    averages: trace.settings.averages,
  };
}

function recordingDocument(recording: Recording) {
  return {
    label: recording.label,
    samples_are: recording.complex ? 'complex' : 'real',
    channels: recording.channels.map(({ name, unit, fullScale }) => ({ name, unit, full_scale: fullScale })),
    sample_rate_hz: recording.sampleRateHz,
    samples: recording.sampleCount,
    duration_s: durationS(recording),
    centre_hz: recording.centreHz,
    taken_at: recording.takenAt,
    annotations: recording.annotations.map(({ startSample, sampleCount, lowHz, highHz, label, comment }) => ({
      start_sample: startSample,
      samples: sampleCount,
      low_hz: lowHz,
      high_hz: highHz,
      label,
      comment,
    })),
    stated: Object.fromEntries(recording.stated.map(({ name, value }) => [name, value])),
  };
}

function waterfallDocument({ label, rows, frequencyHz, unit, rowStartS, takenAt }: Waterfall) {
  return {
    label,
    rows,
    points: frequencyHz.length,
    start_hz: frequencyHz[0]!,
    stop_hz: frequencyHz.at(-1)!,
    unit: unit.name,
    duration_s: rowStartS === null ? null : (rowStartS.at(-1) ?? 0),
    taken_at: takenAt,
  };
}

function tableDocument({ name, kind, frequencyHz, valueDb, referenceOhm, note }: FrequencyTable) {
  return {
    name,
    kind,
    points: frequencyHz.length,
    start_hz: frequencyHz[0]!,
    stop_hz: frequencyHz.at(-1)!,
    lowest_db: valueDb.reduce((a, b) => Math.min(a, b)),
    highest_db: valueDb.reduce((a, b) => Math.max(a, b)),
    reference_ohm: referenceOhm,
    note,
  };
}

function traceDocument(trace: Trace) {
  const { settings } = trace;
  const facts = traceFacts(trace);
  return {
    label: trace.label,
    points: trace.frequencyHz.length,
    blank_points: facts.blankPoints,
    start_hz: trace.frequencyHz[0]!,
    stop_hz: trace.frequencyHz.at(-1)!,
    smallest_step_hz: facts.smallestStepHz,
    largest_step_hz: facts.largestStepHz,
    unit: trace.unit.name,
    unit_scale: trace.unit.scale,
    unit_per_hz: trace.unit.perHz,
    lowest_level: facts.lowest,
    highest_level: facts.highest,
    settings: {
      rbw_hz: settings.rbwHz,
      rbw_shape: settings.rbwShape ?? 'unknown',
      vbw_hz: settings.vbwHz,
      averages: settings.averages,
      averaging: settings.averaging,
      detector: settings.detector,
      attenuation_db: settings.attenuationDb,
      gain_db: settings.gainDb,
      sweep_time_s: settings.sweepTimeS,
      reference_level: settings.referenceLevel,
      frequency_accuracy_ppm: settings.frequencyAccuracyPpm,
      taken_at: settings.takenAt,
      ...((settings.clippedSamples ?? null) === null ? {} : { clipped_samples: settings.clippedSamples! }),
    },
    reasons:
      facts.lowest === null
        ? { lowest_level: 'every point is blank', highest_level: 'every point is blank' }
        : undefined,
  };
}

/** Extremes of a trace. Blank points are passed over; with nothing else the levels are null. */
export function traceFacts({ frequencyHz, level }: Trace) {
  let smallestStepHz = Infinity;
  let largestStepHz = 0;
  let lowest = Infinity;
  let highest = -Infinity;
  let blankPoints = 0;
  for (let i = 0; i < level.length; i++) {
    if (i > 0) {
      const step = frequencyHz[i]! - frequencyHz[i - 1]!;
      if (step < smallestStepHz) smallestStepHz = step;
      if (step > largestStepHz) largestStepHz = step;
    }
    const value = level[i]!;
    if (Number.isNaN(value)) blankPoints++;
    else {
      if (value < lowest) lowest = value;
      if (value > highest) highest = value;
    }
  }
  const blank = blankPoints === level.length;
  return {
    smallestStepHz,
    largestStepHz,
    blankPoints,
    lowest: blank ? null : lowest,
    highest: blank ? null : highest,
  };
}
