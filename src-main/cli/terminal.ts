/** Where a command writes and where relative paths start. Results go to `out` only; progress, warnings and errors to `err` only. */
export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Absolute folder that relative paths on the command line mean. */
  readonly folder: string;
  /** True where `err` is watched by a person, so that steps may be shown as they pass. */
  readonly showsProgress: boolean;
}

/** Exit statuses, fixed for scripts. Where several apply the first of this order is given: fault, wrong call, input, done. */
export const EXIT = { done: 0, fault: 1, wrongCall: 2, input: 3 } as const;

export type ExitStatus = (typeof EXIT)[keyof typeof EXIT];

/** Thrown for a call that is wrong in itself, before any file is opened. */
export class WrongCall extends Error {
  override readonly name = 'WrongCall';
}
