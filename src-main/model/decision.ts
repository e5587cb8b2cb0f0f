import type { Cause } from './attribution.ts';

/** What an engineer decided about one spur of one capture; survives re-runs. */
export interface Decision {
  readonly id: number;
  readonly captureId: number;
  readonly frequencyHz: number;
  readonly kind: 'confirm' | 'reassign' | 'reject' | 'note';
  readonly source: string | null;
  readonly harmonic: number | null;
  readonly note: string;
  readonly by: string;
  readonly at: string;
  /** What the tool said when it was decided; left out or null: not kept. */
  readonly cause?: Cause | null;
}

/** Those about the spurs of one capture, in the order given. */
export function decisionsOn(captureId: number, decisions: readonly Decision[]): Decision[] {
  return decisions.filter((decision) => decision.captureId === captureId);
}
