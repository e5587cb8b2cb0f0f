import type { ApiProblem, CaptureSummary, Client } from '../../src-main/api/contract.ts';
import type { ReadingHints } from '../../src-main/model/reading-hints.ts';
import { ask, problemOf } from './door.ts';
import type { Jobs } from './jobs.svelte.ts';
import { arriving, bytesOf, type Arriving } from './together.ts';

export type Outcome = 'waiting' | 'understood' | 'warned' | 'known' | 'refused';

export interface Opened {
  readonly file: string;
  readonly outcome: Outcome;
  readonly capture: CaptureSummary | null;
  readonly problem: ApiProblem | null;
  /** What was opened, as long as the window lives: it can be read otherwise. */
  readonly source: Arriving;
}

/** Files on their way in: one list of what was understood, warned of and refused. A refused file holds up no other. */
export class Opening {
  list = $state.raw<readonly Opened[]>([]);
  /** Which of them is being looked at by hand. */
  chosen = $state(0);
  readonly #client: Client;
  readonly #jobs: Jobs;

  constructor(client: Client, jobs: Jobs) {
    this.#client = client;
    this.#jobs = jobs;
  }

  get refused(): number {
    return this.count('refused');
  }

  count(outcome: Outcome): number {
    return this.list.filter((file) => file.outcome === outcome).length;
  }

  /** Reads the files one after the other; gives the captures that are in the register now. */
  async open(files: readonly File[], stateId: number | null): Promise<readonly CaptureSummary[]> {
    this.list = arriving(files).map((source) => ({
      file: source.file.name,
      outcome: 'waiting',
      capture: null,
      problem: null,
      source,
    }));
    const captures: CaptureSummary[] = [];
    for (const [index, { source }] of this.list.entries()) {
      const opened = await this.#openOne(source, stateId, undefined);
      this.list = this.list.with(index, opened);
      if (opened.capture !== null) captures.push(opened.capture);
      if (opened.problem?.kind === 'cancelled') break;
    }
    this.list = this.list.filter((file) => file.outcome !== 'waiting');
    return captures;
  }

  /** Reads one of the files again as the user says; what was read of it before is replaced. */
  async readAgain(index: number, hints: ReadingHints, stateId: number | null): Promise<Opened> {
    const opened = await this.#openOne(this.list[index]!.source, stateId, hints);
    // where it is refused now, what was read before is still there
    if (opened.capture !== null || this.list[index]!.capture === null) this.list = this.list.with(index, opened);
    return opened;
  }

  async #openOne(source: Arriving, stateId: number | null, hints: ReadingHints | undefined): Promise<Opened> {
    const { name } = source.file;
    try {
      const { file, bytes, companions } = await bytesOf(source);
      const { capture, alreadyKnown } = await this.#jobs.run(`Reading ${file}`, (jobId) =>
        ask(this.#client, 'captureAdd', {
          file,
          bytes,
          jobId,
          ...(companions.length === 0 ? {} : { companions }),
          ...(hints === undefined ? {} : { hints }),
        }),
      );
      if (stateId !== null && !alreadyKnown && capture.stateId === null)
        await ask(this.#client, 'captureAssign', { captureIds: [capture.id], stateId });
      const outcome = alreadyKnown ? 'known' : capture.warnings.length > 0 ? 'warned' : 'understood';
      return { file, outcome, capture, problem: null, source };
    } catch (error) {
      return { file: name, outcome: 'refused', capture: null, problem: this.#refusal(source.file, error), source };
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
