import type { BandCost, FixNext } from './channel-cost.ts';
import type { Coverage } from './coverage.ts';
import type { JudgedDisposition } from './disposition.ts';
import type { CaptureSensitivity, Verdict } from './verdict.ts';
import type { VerdictSettings } from './verdict-settings.ts';

/** Everything that is said of one state of the build against its requirements. Pure result: the same inputs give the same. */
export interface Judgement {
  readonly stateId: number;
  readonly settings: VerdictSettings;
  /** In the order of the requirements, their bands, modes, temperatures, points. Empty: nothing is required yet. */
  readonly verdicts: readonly Verdict[];
  readonly coverage: Coverage;
  readonly sensitivities: readonly CaptureSensitivity[];
  /** For every state with captures, oldest first. */
  readonly costs: readonly BandCost[];
  readonly fixNext: FixNext;
  readonly dispositions: readonly JudgedDisposition[];
  readonly warnings: readonly string[];
  /** The answer in a few words: “The build does not hold yet.” Never “holds” where nothing is required. */
  readonly heading: string;
  /** One to three sentences with counts. */
  readonly sentence: string;
}
