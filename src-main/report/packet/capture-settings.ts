import { applyCondition } from '../../model/apply-condition.ts';
import type { CaptureSettings } from '../../model/capture.ts';
import type { PacketContents } from '../../model/packet.ts';
import { formatDecimal, formatFrequency, NO_VALUE } from '../../units/format.ts';
import type { CaptureFacts } from './packet-facts.ts';

/** How a capture was taken, the conditions' word before the file's; what nobody said is said to be unknown. */
export function captureSettings(
  { capture, triage, unitName, columns }: CaptureFacts,
  contents: PacketContents,
): [string, string][] {
  const { condition, traceIndex } = capture;
  const trace = capture.traces[traceIndex]!;
  const settings = applyCondition(trace.settings, condition);
  const state = contents.states.find(({ id }) => id === capture.stateId);
  const point = contents.points.find(({ id }) => id === capture.pointId);
  const said = (value: number | null, print: (value: number) => string): string =>
    value === null ? 'not stated' : print(value);
  const on = condition.sourcesOn === null ? 'not stated' : condition.sourcesOn.join(', ') || 'none';
  const off = condition.sourcesOff === null ? 'not stated' : condition.sourcesOff.join(', ') || 'none';
  return [
    ['state, point, role', [state?.name ?? 'no state', point?.name ?? 'no point', condition.role].join(', ')],
    [
      'mode, temperature',
      `${condition.mode ?? 'mode not stated'}, ${condition.temperatureC === null ? 'temperature not stated' : `${formatDecimal(condition.temperatureC, 1)} °C`}`,
    ],
    [
      'span',
      `${formatFrequency(columns.lowHz)} to ${formatFrequency(columns.highHz)}, ${formatDecimal(trace.points)} points, levels in ${unitName}`,
    ],
    [
      'RBW, averages, detector',
      `${said(settings.rbwHz, (hz) => formatFrequency(hz))}${settings.rbwShape === null ? '' : ` (${settings.rbwShape})`}, ${said(settings.averages, (n) => formatDecimal(n))} (${settings.averaging}), ${settings.detector}`,
    ],
    [
      'attenuation, gain',
      `${said(settings.attenuationDb, (db) => `${formatDecimal(db, 1)} dB`)}, ${said(settings.gainDb, (db) => `${formatDecimal(db, 1)} dB`)}`,
    ],
    ...ofReceiver(settings),
    ['sources on', on],
    ['sources off', off],
    [
      'load, operator, instrument',
      [condition.load, condition.operator, condition.instrument].map((text) => text ?? 'not stated').join('; '),
    ],
    [
      'calibration chain',
      capture.tables.length === 0
        ? 'none: levels are those of the file'
        : `${capture.chain ?? 'transfer alone'}: ${capture.tables.map(({ name, kind, date, dueOn }) => `${name} (${kind}, ${date}${dueOn === null ? '' : `, due ${dueOn}`})`).join(' → ')}`,
    ],
    ['instrument calibrated on', condition.calibratedOn ?? 'not stated'],
    [
      'weakest line found',
      `${formatDecimal(triage.floor.weakestDetectableOverFloorDb, 1)} dB over the floor with probability 0.95; ${formatDecimal(triage.floor.falseAlarmsExpected, 2)} false lines expected`,
    ],
    ['file', `${capture.layout}; SHA-256 ${capture.sha256}`],
    ['warnings', capture.warnings.join(' ') || NO_VALUE],
  ];
}

/** What only a capture by the payload's own receiver has: a gain state, a count of clipped samples, a channel response. */
function ofReceiver(settings: CaptureSettings): [string, string][] {
  const { gainState = null, clippedSamples = null, channelResponse } = settings;
  if (gainState === null && clippedSamples === null && channelResponse === undefined) return [];
  return [
    [
      'receiver',
      [
        `gain state ${gainState ?? 'not stated'}`,
        clippedSamples === null ? 'clipping not counted' : `${formatDecimal(clippedSamples)} samples at full scale`,
        channelResponse === undefined ? 'channel response not taken out' : `freed of ${channelResponse}`,
      ].join('; '),
    ],
  ];
}
