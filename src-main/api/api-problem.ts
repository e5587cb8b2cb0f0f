import { InputError } from '../model/input-problem.ts';
import type { ApiProblem } from './contract.ts';
import { RegisterError, type RegisterErrorCode } from '../register/register-error.ts';
import { JobCancelled } from './jobs/job-runner.ts';

/** Thrown where the state of things forbids a call: nothing is wrong with the value, and nothing was changed. */
export class Refused extends Error {
  override readonly name = 'Refused';
}

/** Whose matter a register's refusal is: the file or value that was named, or the state of things. */
const KIND_OF_CODE: Readonly<Record<RegisterErrorCode, ApiProblem['kind']>> = {
  'not-a-register': 'input',
  'newer-version': 'input',
  damaged: 'input',
  'not-found': 'refused',
  exists: 'refused',
  locked: 'refused',
  'read-only': 'refused',
  'disk-full': 'refused',
  refused: 'refused',
  stale: 'refused',
};

/** Whatever a call threw, as the plain data that crosses the door. */
export function apiProblemOf(error: unknown): ApiProblem {
  const message = error instanceof Error ? error.message : String(error);
  if (error instanceof InputError) return { kind: 'input', message, problem: error.problem };
  if (error instanceof RegisterError) return { kind: KIND_OF_CODE[error.code], message, problem: error.problem };
  if (error instanceof JobCancelled) return { kind: 'cancelled', message, problem: null };
  if (error instanceof Refused) return { kind: 'refused', message, problem: null };
  return { kind: 'internal', message, problem: null };
}
