import type { ApiProblem } from '../../src-main/api/contract.ts';
import { problemOf } from './door.ts';

export interface Notice {
  readonly id: number;
  readonly problem: ApiProblem;
}

/** What went wrong and still stands to be read. A cancelled job is no problem and is not kept. */
export class Notices {
  list = $state.raw<readonly Notice[]>([]);
  #next = 1;

  post(problem: ApiProblem): void {
    if (problem.kind === 'cancelled') return;
    this.list = [...this.list.filter((n) => n.problem.message !== problem.message), { id: this.#next++, problem }];
  }

  dismiss(id: number): void {
    this.list = this.list.filter((notice) => notice.id !== id);
  }

  /** Runs a step; a failure is posted and gives undefined. */
  async attempt<T>(step: () => Promise<T>): Promise<T | undefined> {
    try {
      return await step();
    } catch (error) {
      this.post(problemOf(error));
      return undefined;
    }
  }
}
