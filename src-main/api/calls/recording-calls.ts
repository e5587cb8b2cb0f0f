import { agreementWithLog, type LogAgreement } from '../../engine/timing/log-agreement.ts';
import { isTooShort, planSegments } from '../../engine/spectrum/plan-segments.ts';
import type { Recording } from '../../model/recording.ts';
import { durationS } from '../../model/recording.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import { readCapture } from '../../readers/read-capture.ts';
import { readLogTable } from '../../readers/tables/log-table.ts';
import { formatChance, formatDecimal, formatSigned } from '../../units/format.ts';
import type { ApiParts } from '../api-parts.ts';
import { Refused } from '../api-problem.ts';
import { hintsOfCapture } from '../steps/kept-hints.ts';
import type {
  LogAgreementView,
  RecordingCalls,
  RecordingSummary,
  SpectrumPlanView,
} from '../contract/recording-calls.ts';
import { captureSummaries } from '../steps/capture-summaries.ts';
import { sharedBytes } from '../steps/shared-bytes.ts';

type Calls = Pick<
  RecordingCalls,
  'recordingList' | 'spectrumPlan' | 'spectrumRun' | 'waterfallRun' | 'timeStructure' | 'timeAgreement'
>;

/** Recordings of captures and the spectra that are made of them. */
export function recordingCalls(parts: ApiParts): Calls {
  const { session, jobs } = parts;
  // What a file's recordings are is asked at every key stroke in the settings; the file does not change.
  const known = new Map<string, readonly RecordingSummary[]>();
  const recordings = (captureId: number): readonly RecordingSummary[] => {
    const { captures } = session.register;
    const { sha256, file, layout } = captures.get(captureId);
    const hints = hintsOfCapture(session.register, sha256);
    const before = known.get(sha256 + layout);
    if (before !== undefined) return before;
    const companions = captures.beside(captureId);
    const found = (readCapture(captures.bytes(captureId), file, companions, hints).recordings ?? []).map(summaryOf);
    if (known.size > 100) known.clear();
    known.set(sha256 + layout, found);
    return found;
  };
  const sharedBeside = (captureId: number): ReadonlyMap<string, Uint8Array> =>
    new Map([...session.register.captures.beside(captureId)].map(([name, bytes]) => [name, sharedBytes(bytes)]));
  const chosen = (captureId: number, recording: number): RecordingSummary => {
    const found = recordings(captureId);
    if (found[recording] !== undefined) return found[recording];
    throw new Refused(`This capture has ${found.length} recordings, so there is no recording ${recording + 1}.`);
  };
  const run = (
    argument: Parameters<RecordingCalls['spectrumRun']>[0],
    waterfall: { rows: number; columns: number } | null,
  ) => {
    const { captureId, recording, channel, settings, gated = null, jobId } = argument;
    const { captures } = session.register;
    const { file, sha256 } = captures.get(captureId);
    const hints = hintsOfCapture(session.register, sha256);
    const onProgress = (fraction: number, step: string) => session.settings.emit('progress', { jobId, fraction, step });
    const bytes = sharedBytes(captures.bytes(captureId));
    return jobs.run(
      'spectrum',
      { file, bytes, companions: sharedBeside(captureId), hints, recording, channel, settings, waterfall, gated },
      { jobId, onProgress },
    );
  };
  const structure = ({ captureId, jobId, ...chosen }: Parameters<RecordingCalls['timeStructure']>[0]) => {
    const { captures } = session.register;
    const { file, sha256 } = captures.get(captureId);
    const hints = hintsOfCapture(session.register, sha256);
    const onProgress = (fraction: number, step: string) => session.settings.emit('progress', { jobId, fraction, step });
    const companions = captures.beside(captureId);
    return jobs.run(
      'time',
      { ...chosen, file, hints, bytes: captures.bytes(captureId), companions },
      { jobId, onProgress },
    );
  };
  return {
    recordingList: ({ captureId }) => Promise.resolve(recordings(captureId)),
    spectrumPlan: ({ captureId, recording, settings }) =>
      Promise.resolve(planView(chosen(captureId, recording), settings)),
    async spectrumRun(argument) {
      const { register } = session;
      chosen(argument.captureId, argument.recording);
      const { trace, warnings } = await run(argument, null);
      if (session.register !== register) throw new Refused('Another register was opened meanwhile; make it again.');
      register.captures.addTrace(argument.captureId, {
        ...trace,
        label: labelOf(trace.label, argument.settings, argument.gated?.which),
      });
      session.changed(['capture']);
      const summary = captureSummaries(register).find(({ id }) => id === argument.captureId)!;
      return { ...summary, warnings: [...new Set([...summary.warnings, ...warnings])] };
    },
    timeStructure: structure,
    async timeAgreement({ file, text, offsetS, ...asked }) {
      const [log] = readLogTable(text, file).rows;
      const { powerDb, startS, stepS } = await structure(asked);
      return agreementView(agreementWithLog(powerDb, startS, stepS, log!, offsetS));
    },
    async waterfallRun({ rows, columns, ...argument }) {
      const { waterfall } = await run(argument, { rows, columns });
      const { label, frequencyHz, rows: made, level, unit, rowStartS } = waterfall!;
      return { label, frequencyHz, rows: made, levelDb: Float32Array.from(level), unit, rowStartS };
    },
  };
}

/** Common practice, no source: one in a hundred. */
const AGREES_BELOW = 0.01;

function agreementView(found: LogAgreement | null): LogAgreementView {
  if (found === null)
    return {
      correlation: null,
      chance: null,
      stepDb: null,
      why: 'Too few steps lie within the log, or one of the two does not change: nothing can be said.',
    };
  const { correlation, chance, stepDb } = found;
  const odds = `unrelated ones would agree so well ${formatChance(chance)}`;
  return {
    correlation,
    chance,
    stepDb: Number.isFinite(stepDb) ? stepDb : null,
    why:
      chance < AGREES_BELOW
        ? `The envelope goes with the log (correlation ${formatDecimal(correlation, 2)}; ${odds}): the power is ${formatSigned(stepDb, 1)} dB where the log is high.`
        : `The envelope does not go with the log at this offset (correlation ${formatDecimal(correlation, 2)}; ${odds}).`,
  };
}

function summaryOf(recording: Recording): RecordingSummary {
  const { label, complex, channels, sampleRateHz, sampleCount, centreHz, annotations, stated } = recording;
  return {
    label,
    complex,
    channels: channels.map(({ name, unit }) => ({ name, unit })),
    sampleRateHz,
    sampleCount,
    durationS: durationS(recording),
    centreHz,
    annotations: annotations.length,
    stated,
  };
}

function planView(
  { sampleCount, sampleRateHz, complex }: RecordingSummary,
  settings: SpectrumSettings,
): SpectrumPlanView {
  const from = Math.round(settings.fromS * sampleRateHz);
  const to = settings.toS === null ? sampleCount : Math.round(settings.toS * sampleRateHz);
  const outside = from < to && to <= sampleCount ? null : 'This stretch lies outside the record.';
  const plan = planSegments(Math.max(0, to - from), sampleRateHz, settings);
  if (outside !== null || isTooShort(plan)) {
    const problem =
      outside ?? (isTooShort(plan) ? `Found ${plan.found}; expected ${plan.expected}. ${plan.wayOut}` : '');
    return { ...NO_PLAN, problem };
  }
  const { enbwBins, rbwHz, windowPoints, transformPoints, spacingHz, segments } = plan;
  return {
    windowPoints,
    transformPoints,
    segments,
    effectiveAverages: plan.effectiveAverages,
    rbwHz,
    enbwBins,
    spacingHz,
    points: complex ? transformPoints : transformPoints / 2,
    usedS: plan.samplesUsed / sampleRateHz,
    sentence: `RBW = ENBW × fs / N = ${figure(enbwBins)} × ${figure(sampleRateHz)} Hz / ${windowPoints} = ${figure(rbwHz)} Hz`,
    problem: null,
  };
}

const NO_PLAN: SpectrumPlanView = {
  windowPoints: 0,
  transformPoints: 0,
  segments: 0,
  effectiveAverages: 0,
  rbwHz: 0,
  enbwBins: 0,
  spacingHz: 0,
  points: 0,
  usedS: 0,
  sentence: '',
  problem: null,
};

/** How a further spectrum is told from the first. */
function labelOf(label: string, { window, rbwHz, overlap }: SpectrumSettings, which?: 'on' | 'quiet'): string {
  const made = `${window}${rbwHz === null ? '' : `, RBW ${figure(rbwHz)} Hz`}, ${Math.round(100 * overlap)} % overlap${which === undefined ? '' : which === 'on' ? ', bursts only' : ', pauses only'}`;
  return label === '' ? made : `${label}, ${made}`;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(5)));
}
