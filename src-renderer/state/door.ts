import type { Answer, Api, ApiProblem, CallName, Client } from '../../src-main/api/contract.ts';

/** A call that the other side answered with a problem. */
export class CallFailed extends Error {
  readonly problem: ApiProblem;
  constructor(problem: ApiProblem) {
    super(problem.message);
    this.name = 'CallFailed';
    this.problem = problem;
  }
}

/** One call; throws CallFailed so that a sequence of calls stops at the first that failed. */
export async function ask<K extends CallName>(
  client: Client,
  name: K,
  argument: Parameters<Api[K]>[0],
): Promise<Awaited<ReturnType<Api[K]>>> {
  const answer: Answer<Awaited<ReturnType<Api[K]>>> = await client.call(name, argument);
  if (!answer.ok) throw new CallFailed(answer.problem);
  return answer.value;
}

export function problemOf(error: unknown): ApiProblem {
  if (error instanceof CallFailed) return error.problem;
  return { kind: 'internal', message: error instanceof Error ? error.message : String(error), problem: null };
}

/** The problem as text to be copied into a mail: all five parts where there are five. */
export function problemText(problem: ApiProblem): string {
  const parts = problem.problem;
  if (parts === null) return problem.message;
  return [
    `file: ${parts.file}`,
    `place: ${parts.place}`,
    `found: ${parts.found}`,
    `expected: ${parts.expected}`,
    `way out: ${parts.wayOut}`,
  ].join('\n');
}
