import type { ApiProblem, CaptureSummary, Client } from '../../src-main/api/contract.ts';
import { ask, problemOf } from './door.ts';
import type { Jobs } from './jobs.svelte.ts';

export interface Opened {
  readonly file: string;
  readonly outcome: 'waiting' | 'understood' | 'warned' | 'known' | 'refused';
  readonly capture: CaptureSummary | null;
  readonly problem: ApiProblem | null;
}

/** Files on their way in: one list of what was understood, warned of and refused. A refused file holds up no other. */
export class Opening {
  list = $state.raw<readonly Opened[]>([]);
  readonly #client: Client;
  readonly #jobs: Jobs;

  constructor(client: Client, jobs: Jobs) {
    this.#client = client;
    this.#jobs = jobs;
  }

  get refused(): number {
    return this.list.filter((file) => file.outcome === 'refused').length;
  }

  /** Reads the files one after the other; gives the captures that are in the register now. */
  async open(files: readonly File[], stateId: number | null): Promise<readonly CaptureSummary[]> {
    this.list = files.map((file) => ({ file: file.name, outcome: 'waiting', capture: null, problem: null }));
    const captures: CaptureSummary[] = [];
    for (const [index, file] of files.entries()) {
      const opened = await this.#openOne(file, stateId);
      this.list = this.list.with(index, opened);
      if (opened.capture !== null) captures.push(opened.capture);
      if (opened.problem?.kind === 'cancelled') break;
    }
    this.list = this.list.filter((file) => file.outcome !== 'waiting');
    return captures;
  }

  async #openOne(file: File, stateId: number | null): Promise<Opened> {
    try {
      const bytes = new Uint8Array(await file.arrayBuffer());
      const { capture, alreadyKnown } = await this.#jobs.run(`Reading ${file.name}`, (jobId) =>
        ask(this.#client, 'captureAdd', { file: file.name, bytes, jobId }),
      );
      if (stateId !== null && !alreadyKnown)
        await ask(this.#client, 'captureAssign', { captureIds: [capture.id], stateId });
      const outcome = alreadyKnown ? 'known' : capture.warnings.length > 0 ? 'warned' : 'understood';
      return { file: file.name, outcome, capture, problem: null };
    } catch (error) {
      return { file: file.name, outcome: 'refused', capture: null, problem: this.#refusal(file, error) };
    }
  }

  /** A dropped folder cannot be read by the browser at all: said in the same five parts as every refusal. */
  #refusal(file: File, error: unknown): ApiProblem {
    if (!(error instanceof DOMException)) return problemOf(error);
    return {
      kind: 'input',
      message: `${file.name} cannot be read`,
      problem: {
        file: file.name,
        place: 'the whole of it',
        found: 'a folder, or a file that may not be read',
        expected: 'a readable file',
        wayOut: 'Open the folder and drop the files in it.',
      },
    };
  }
}
