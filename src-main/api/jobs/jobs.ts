import type { AnalyseInput } from '../../engine/analyse.ts';
import type { CompareInput } from '../../engine/compare.ts';
import type { FollowInput } from '../../engine/follow-states.ts';
import type { JudgeInput } from '../../engine/judge-build.ts';
import type { PlanInput } from '../../engine/plan.ts';
import type { Capture } from '../../model/capture.ts';
import type { Judgement } from '../../model/judgement.ts';
import type { InputProblem } from '../../model/input-problem.ts';
import type { RecordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import type { WaterfallSize } from '../../engine/spectrum/waterfall-rows.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import type { TimeStructure } from '../../model/time-structure.ts';
import type { Planning } from '../../model/plan.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { StateGrid } from '../../model/state-track.ts';
import type { Comparison } from '../../model/track.ts';
import type { Triage } from '../../model/triage.ts';
import type { VerifyReport } from '../../report/packet/verify-document.ts';
import type { ReadingPreview, RowsOverTime } from '../contract/reading-calls.ts';
import type { PacketJob, VerifyJob } from '../packet/packet-jobs.ts';
import type { PacketMade } from '../packet/packet-of-register.ts';

/** A spectrum of one channel of one recording of a file. */
export interface SpectrumJob {
  readonly file: string;
  readonly bytes: Uint8Array;
  /** Files beside it, by name. */
  readonly companions?: ReadonlyMap<string, Uint8Array>;
  readonly hints?: ReadingHints | undefined;
  readonly recording: number;
  readonly channel: number;
  readonly settings: SpectrumSettings;
  readonly waterfall: WaterfallSize | null;
  /** Only the bursts, or only the pauses between them, as an envelope of such steps tells them apart; left out: the whole stretch. */
  readonly gated?: GatedPart | null;
}

export interface GatedPart {
  readonly which: 'on' | 'quiet';
  readonly stepS: number;
}

/** How one channel of one recording changes with time. */
export type TimeJob = Pick<SpectrumJob, 'file' | 'bytes' | 'companions' | 'hints' | 'recording' | 'channel'> & {
  readonly stepS: number;
};

/** The long work that is done outside the main thread: what each kind takes and gives. Typed arrays cross without JSON. */
export interface Jobs {
  readonly read: {
    readonly input: {
      readonly file: string;
      readonly bytes: Uint8Array;
      /** Files beside it, by name. */
      readonly companions?: ReadonlyMap<string, Uint8Array>;
      readonly hints?: ReadingHints | undefined;
    };
    readonly output: Capture;
  };
  readonly preview: {
    readonly input: {
      readonly file: string;
      readonly bytes: Uint8Array;
      readonly companions: ReadonlyMap<string, Uint8Array>;
      readonly hints: ReadingHints;
    };
    readonly output: ReadingPreview;
  };
  readonly rows: {
    readonly input: {
      readonly file: string;
      readonly bytes: Uint8Array;
      readonly companions?: ReadonlyMap<string, Uint8Array>;
      readonly hints: ReadingHints | undefined;
      readonly rows: number;
      readonly columns: number;
    };
    readonly output: RowsOverTime | null;
  };
  readonly spectrum: { readonly input: SpectrumJob; readonly output: RecordSpectrum };
  readonly time: { readonly input: TimeJob; readonly output: TimeStructure };
  readonly triage: { readonly input: Omit<AnalyseInput, 'onProgress'>; readonly output: Triage };
  readonly compare: { readonly input: Omit<CompareInput, 'onProgress'>; readonly output: Comparison };
  readonly packet: { readonly input: PacketJob; readonly output: PacketMade };
  readonly verify: { readonly input: VerifyJob; readonly output: VerifyReport };
  readonly follow: { readonly input: Omit<FollowInput, 'onProgress'>; readonly output: StateGrid };
  readonly judge: { readonly input: Omit<JudgeInput, 'onProgress'>; readonly output: Judgement };
  readonly plan: { readonly input: Omit<PlanInput, 'onProgress' | 'isStopped'>; readonly output: Planning };
}

export type JobKind = keyof Jobs;

export type JobRequest = { readonly [K in JobKind]: { readonly kind: K; readonly input: Jobs[K]['input'] } }[JobKind];

/** What a worker says of the one job it has. Errors cross as plain data. */
export type JobReply =
  | { readonly say: 'progress'; readonly fraction: number; readonly step: string }
  | { readonly say: 'done'; readonly output: Jobs[JobKind]['output'] }
  | { readonly say: 'refused'; readonly problem: InputProblem }
  | { readonly say: 'failed'; readonly message: string };
