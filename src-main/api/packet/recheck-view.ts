import { applyCondition } from '../../model/apply-condition.ts';
import { settingDifferencesOf } from '../../engine/judge-recheck.ts';
import type { Recheck } from '../../model/recheck.ts';
import { formatDecimal, formatFrequency } from '../../units/format.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';
import type { RecheckRow, RecheckView } from '../contract/packet-calls.ts';
import { withRepeats } from './match-repeats.ts';

/** A re-check as the page shows it: what to repeat at which settings, what has come in, and in what that differs. */
export function recheckView(register: Register, kept: Recheck): RecheckView {
  const captures = register.captures.list();
  const recheck = withRepeats(kept, captures);
  const freeze = register.freezes.get(recheck.freezeId);
  const event = register.events.get(recheck.eventId);
  const states = register.states.list();
  const nameOf = (id: number | null): string | null => states.find((state) => state.id === id)?.name ?? null;
  return {
    recheck,
    revision: freeze.revision,
    event: event === null ? 'an event that was removed' : `${event.kind.replace('-', ' ')}: ${event.description}`,
    baselineState: freeze.stateName,
    state: nameOf(recheck.stateId),
    rows: recheck.items.flatMap((item): RecheckRow[] => {
      const baseline = captures.find(({ id }) => id === item.baselineCaptureId);
      if (baseline === undefined) return [];
      const repeats = item.repeatedBy.flatMap((id) => captures.filter((capture) => capture.id === id));
      return [
        {
          baselineCaptureId: baseline.id,
          file: baseline.file,
          point: register.points.get(baseline.pointId ?? 0)?.name ?? null,
          mode: baseline.condition.mode,
          temperatureC: baseline.condition.temperatureC,
          settings: settingsText(baseline),
          repeats: repeats.map((repeat) => ({
            captureId: repeat.id,
            file: repeat.file,
            differences: settingDifferencesOf(factsOf(baseline), factsOf(repeat)),
          })),
          droppedBecause: item.droppedBecause,
        },
      ];
    }),
  };
}

function headOf({ traces, traceIndex }: StoredCapture) {
  return traces[traceIndex]!;
}

function factsOf(capture: StoredCapture) {
  const { settings, unit, startHz, stopHz, points } = headOf(capture);
  return {
    settings,
    unitName: capture.condition.unit ?? unit.name,
    startHz,
    stopHz,
    points,
    condition: capture.condition,
  };
}

function settingsText(capture: StoredCapture): string {
  const { settings, startHz, stopHz, points } = headOf(capture);
  const taken = applyCondition(settings, capture.condition);
  const on = capture.condition.sourcesOn;
  return [
    `${formatFrequency(startHz)} to ${formatFrequency(stopHz)}, ${formatDecimal(points)} points`,
    taken.rbwHz === null ? 'RBW not stated' : `RBW ${formatFrequency(taken.rbwHz)}`,
    taken.averages === null ? 'averages not stated' : `${formatDecimal(taken.averages)} averages (${taken.averaging})`,
    `${taken.detector} detector`,
    taken.attenuationDb === null ? 'attenuation not stated' : `${formatDecimal(taken.attenuationDb)} dB attenuation`,
    on === null ? 'sources on not stated' : `on: ${on.join(', ') || 'none'}`,
  ].join(' · ');
}
