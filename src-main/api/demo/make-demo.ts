import { Refused } from '../api-problem.ts';
import type { JobRunner } from '../jobs/job-runner.ts';
import type { Session } from '../session.ts';

/** Makes a fresh copy of the invented demonstration register and opens it. */
export function makeDemo(_session: Session, _jobs: JobRunner): Promise<void> {
  return Promise.reject(new Refused('The demonstration register is not in this version yet.'));
}
