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

type Saying = readonly [code: RegisterErrorCode, found: string, expected: string, wayOut: string];

const LOCKED: Saying = [
  'locked',
  'a file that another program holds',
  'a free moment within the waiting time',
  'Close the other program, then do it again; nothing was changed.',
];
const FULL: Saying = [
  'disk-full',
  'no room on the disk',
  'room for the change',
  'Free some space and do it again; nothing was changed.',
];
const READ_ONLY: Saying = [
  'read-only',
  'a file or folder without the right to write',
  'a file and folder with that right',
  'Copy the register to a folder of your own and open the copy.',
];
const UNREADABLE: Saying = [
  'read-only',
  'a file or folder without the right to read or write',
  'these rights',
  'Ask whoever owns the folder, or copy the register to a folder of your own.',
];
const NO_DATABASE: Saying = [
  'not-a-register',
  'something that is no database',
  'a register (.spurledger)',
  'Choose another file; captures are dropped on the page, not opened as a register.',
];
const NO_FOLDER: Saying = ['not-found', 'no such file or folder', 'a folder that is there', 'Check the name.'];
const damagedSaying = (found: string): Saying => [
  'damaged',
  found,
  'an intact database',
  'Go back to a copy of the register from before the damage; this one is left as it is.',
];

const frozenSaying = (message: string): Saying => [
  'refused',
  message.slice('frozen: '.length),
  'something that is not frozen',
  'Make the change in a later state, or take the frozen revision up again with a reason; nothing was changed.',
];

/** Turns an error of the database library or the file system into one of ours; anything else is passed on as it is. */
export function translateError(error: unknown, file: string): unknown {
  if (error instanceof RegisterError) return error;
  if (error instanceof SyntaxError) return made(damagedSaying(`an entry that cannot be read (${error.message})`), file);
  if (!(error instanceof Error) || !('code' in error) || typeof error.code !== 'string') return error;
  const saying = sayingOf(error.code, error.message);
  return saying === null ? error : made(saying, file);
}

function made([code, found, expected, wayOut]: Saying, file: string): RegisterError {
  return new RegisterError(code, { file, place: 'the register file', found, expected, wayOut });
}

function sayingOf(code: string, message: string): Saying | null {
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) return LOCKED;
  if (code.startsWith('SQLITE_FULL') || code === 'SQLITE_IOERR_WRITE' || code === 'ENOSPC' || code === 'EDQUOT')
    return FULL;
  if (code.startsWith('SQLITE_READONLY') || code.startsWith('SQLITE_CANTOPEN') || code === 'EROFS') return READ_ONLY;
  if (code === 'SQLITE_PERM' || code === 'EACCES' || code === 'EPERM') return UNREADABLE;
  if (code.startsWith('SQLITE_NOTADB')) return NO_DATABASE;
  if (code.startsWith('SQLITE_CORRUPT')) return damagedSaying(message);
  if (code.startsWith('SQLITE_IOERR')) return damagedSaying(`a disk that does not answer as it should (${code})`);
  if (code === 'ENOENT' || code === 'ENOTDIR') return NO_FOLDER;
  // the file's own guard over what is frozen; see migration 0007
  if (code === 'SQLITE_CONSTRAINT_TRIGGER' && message.startsWith('frozen: ')) return frozenSaying(message);
  return null;
}
