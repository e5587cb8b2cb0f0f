import { likeSets, statesOf } from '../../engine/verdict/like-captures.ts';
import { readingOf, type JudgedCapture } from '../../engine/verdict/judged-capture.ts';
import type { MeasuringPoint } from '../../model/measuring-point.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../model/verdict-settings.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';
import type { GridChoice } from '../contract/verdict-calls.ts';

/** Captures that may be followed together, from what is kept of them beside their columns: no trace is read. */
export function gridChoices(register: Register): readonly GridChoice[] {
  const points = new Map(register.points.list().map((point) => [point.id, point]));
  const captures = register.captures.list();
  const readings = captures.flatMap((capture) =>
    capture.stateId === null ? [] : [readingOf(headOf(capture, points))],
  );
  return likeSets(readings, DEFAULT_VERDICT_SETTINGS).map((set) => {
    const [first] = set.readings;
    const pointId = captures.find(({ id }) => id === first!.capture.captureId)!.pointId;
    return {
      pointId,
      point: first!.capture.point?.name ?? null,
      mode: set.mode,
      temperature: set.temperature,
      settings: set.settings,
      states: statesOf(set),
      captureIds: set.readings.map(({ capture }) => capture.captureId),
    };
  });
}

/** A capture with the ends of its axis in place of its columns: alike or not depends on settings and conditions alone. */
function headOf(capture: StoredCapture, points: ReadonlyMap<number, MeasuringPoint>) {
  const head = capture.traces[capture.traceIndex]!;
  const point = capture.pointId === null ? undefined : points.get(capture.pointId);
  return {
    captureId: capture.id,
    stateId: capture.stateId!,
    point: point === undefined ? null : { name: point.name, kind: point.kind },
    triaged: {
      trace: {
        label: head.label,
        frequencyHz: Float64Array.of(head.startHz, head.stopHz),
        level: Float64Array.of(0, 0),
        unit: head.unit,
        settings: head.settings,
      },
      condition: capture.condition,
      file: capture.file,
    } as JudgedCapture['triaged'],
  };
}
