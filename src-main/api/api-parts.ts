import type { About } from './contract.ts';
import type { JobRunner } from './jobs/job-runner.ts';
import type { Session } from './session.ts';

/** What the calls share. */
export interface ApiParts {
  readonly session: Session;
  readonly jobs: JobRunner;
  readonly about: About;
}
