import type { InputProblem } from '../model/input-problem.ts';

export type RegisterErrorCode =
  | 'not-a-register'
  | 'newer-version'
  | 'locked'
  | 'read-only'
  | 'disk-full'
  | 'damaged'
  | 'exists'
  | 'not-found'
  | 'refused'
  | 'stale';

/** Anything a register file or its contents refuse, in the five parts of every message, with a code for the caller. */
export class RegisterError extends Error {
  readonly code: RegisterErrorCode;
  readonly problem: InputProblem;
  constructor(code: RegisterErrorCode, problem: InputProblem) {
    super(`${problem.file}, ${problem.place}: found ${problem.found}; expected ${problem.expected}. ${problem.wayOut}`);
    this.name = 'RegisterError';
    this.code = code;
    this.problem = problem;
  }
}

/** Turns an error of the database library into one of ours; anything else is passed on as it is. */
export function translateError(error: unknown, file: string): unknown {
  if (!(error instanceof Error) || !('code' in error) || typeof error.code !== 'string') return error;
  const make = (code: RegisterErrorCode, found: string, expected: string, wayOut: string): RegisterError =>
    new RegisterError(code, { file, place: 'the register file', found, expected, wayOut });
  if (error.code.startsWith('SQLITE_BUSY') || error.code.startsWith('SQLITE_LOCKED'))
    return make(
      'locked',
      'a file that another program holds',
      'a free moment within five seconds',
      'Close the other program, then do it again; nothing was changed.',
    );
  if (error.code.startsWith('SQLITE_FULL') || error.code === 'SQLITE_IOERR_WRITE')
    return make(
      'disk-full',
      'no room on the disk',
      'room for the change',
      'Free some space and do it again; nothing was changed.',
    );
  if (error.code.startsWith('SQLITE_READONLY') || error.code === 'SQLITE_CANTOPEN' || error.code === 'SQLITE_PERM')
    return make(
      'read-only',
      'a file that cannot be written',
      'a file and folder with the right to write',
      'Copy the register to a folder of your own and open the copy.',
    );
  if (error.code.startsWith('SQLITE_CORRUPT'))
    return make(
      'damaged',
      error.message,
      'an intact database',
      'Go back to a copy of the register from before the damage; this one is left untouched.',
    );
  if (error.code.startsWith('SQLITE_NOTADB'))
    return make(
      'not-a-register',
      'something that is no database',
      'a register (.spurledger)',
      'Choose another file; captures are dropped on the page, not opened as a register.',
    );
  return error;
}
