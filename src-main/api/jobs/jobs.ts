import type { AnalyseInput } from '../../engine/analyse.ts';
import type { CompareInput } from '../../engine/compare.ts';
import type { Capture } from '../../model/capture.ts';
import type { InputProblem } from '../../model/input-problem.ts';
import type { RecordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import type { WaterfallSize } from '../../engine/spectrum/waterfall-rows.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import type { Comparison } from '../../model/track.ts';
import type { Triage } from '../../model/triage.ts';

/** A spectrum of one channel of one recording of a file. */
export interface SpectrumJob {
  readonly file: string;
  readonly bytes: Uint8Array;
  readonly recording: number;
  readonly channel: number;
  readonly settings: SpectrumSettings;
  readonly waterfall: WaterfallSize | null;
}

/** The long work that is done outside the main thread: what each kind takes and gives. Typed arrays cross without JSON. */
export interface Jobs {
  readonly read: {
    readonly input: {
      readonly file: string;
      readonly bytes: Uint8Array;
      /** Files beside it, by name. */
      readonly companions?: ReadonlyMap<string, Uint8Array>;
    };
    readonly output: Capture;
  };
  readonly spectrum: { readonly input: SpectrumJob; readonly output: RecordSpectrum };
  readonly triage: { readonly input: Omit<AnalyseInput, 'onProgress'>; readonly output: Triage };
  readonly compare: { readonly input: Omit<CompareInput, 'onProgress'>; readonly output: Comparison };
}

export type JobKind = keyof Jobs;

export type JobRequest = { readonly [K in JobKind]: { readonly kind: K; readonly input: Jobs[K]['input'] } }[JobKind];

/** What a worker says of the one job it has. Errors cross as plain data. */
export type JobReply =
  | { readonly say: 'progress'; readonly fraction: number; readonly step: string }
  | { readonly say: 'done'; readonly output: Jobs[JobKind]['output'] }
  | { readonly say: 'refused'; readonly problem: InputProblem }
  | { readonly say: 'failed'; readonly message: string };
