import type { CaptureSettings } from '../../model/capture.ts';
import type { Trace } from '../../model/trace.ts';
import { plainJson, type Json } from '../plain-json.ts';
import { csvCell, csvTable, type Cell } from '../csv.ts';

/**
 * A trace as a text table that this program reads back: settings that are known above, frequency and level below, every number with
 * all its digits. A blank point has an empty level.
 */
export function traceCsv(trace: Trace): string {
  const { frequencyHz, level, unit } = trace;
  const head = settingRows(trace.settings).map(([name, value]) => `${csvCell(name)},${value}`);
  const unitText = unit.name === 'unknown' ? 'Level' : `Level (${unit.name})`;
  const rows = Array.from(frequencyHz, (hz, i): Cell[] => [hz, level[i]!]);
  return `${head.length === 0 ? '' : `${head.join('\n')}\n`}${csvTable(['Frequency (Hz)', unitText], rows)}`;
}

function settingRows(settings: CaptureSettings): (readonly [string, string])[] {
  const { rbwHz, rbwShape, vbwHz, averages, averaging, detector, sweepTimeS, attenuationDb, gainDb, takenAt } =
    settings;
  const bandwidth = rbwShape === null ? 'RBW' : rbwShape === 'noise' ? 'RBW (noise bandwidth)' : `RBW (${rbwShape})`;
  const rows: (readonly [string, string] | null)[] = [
    rbwHz === null ? null : [bandwidth, `${rbwHz} Hz`],
    vbwHz === null ? null : ['VBW', `${vbwHz} Hz`],
    // averages that overlap are worth no whole number; a whole one is what others read
    averages === null ? null : ['Averages', Number.isInteger(averages) ? String(averages) : `${averages} effective`],
    averaging === 'unknown' ? null : ['Averaging', averaging],
    detector === 'unknown' ? null : ['Detector', detector],
    sweepTimeS === null ? null : ['Sweep time', `${sweepTimeS} s`],
    attenuationDb === null ? null : ['Attenuation', `${attenuationDb} dB`],
    gainDb === null ? null : ['Gain', `${gainDb} dB`],
    settings.frequencyAccuracyPpm === null ? null : ['Frequency accuracy', `${settings.frequencyAccuracyPpm} ppm`],
    takenAt === null ? null : ['Date', csvCell(takenAt)],
  ];
  return rows.filter((row) => row !== null);
}

/** The document `spurledger.trace/1`: the trace with all its settings, as `readTraceJson` reads it back. A blank level is null. */
export function traceDocument(trace: Trace, file: string, sha256: string): Json {
  const { settings } = trace;
  const line = settings.computedLine ?? null;
  return plainJson({
    schema: 'spurledger.trace/1',
    file,
    sha256,
    label: trace.label,
    unit: trace.unit.name,
    unit_scale: trace.unit.scale,
    unit_per_hz: trace.unit.perHz,
    settings: {
      rbw_hz: settings.rbwHz,
      rbw_shape: settings.rbwShape,
      vbw_hz: settings.vbwHz,
      averages: settings.averages,
      averaging: settings.averaging,
      detector: settings.detector,
      attenuation_db: settings.attenuationDb,
      gain_db: settings.gainDb,
      gain_state: settings.gainState ?? null,
      clipped_samples: settings.clippedSamples ?? null,
      channel_response: settings.channelResponse ?? null,
      centre_hz: settings.centreHz ?? null,
      frequency_accuracy_ppm: settings.frequencyAccuracyPpm,
      computed_line:
        line === null
          ? null
          : { coefficients: line.coefficients, half_power_bins: line.halfPowerBins, width_hz: line.widthHz },
      sweep_time_s: settings.sweepTimeS,
      reference_level: settings.referenceLevel,
      taken_at: settings.takenAt,
    },
    axis: trace.axis ?? 'absolute',
    instrument: (trace.instrument ?? []).map(({ kind, lowHz, highHz, why }) => ({
      kind,
      low_hz: lowHz,
      high_hz: highHz,
      why,
    })),
    frequency_hz: [...trace.frequencyHz],
    level: Array.from(trace.level, (level) => (Number.isFinite(level) ? level : null)),
  });
}
