import type { ApiProblem, Client } from '../../src-main/api/contract.ts';
import type { ReadingPreview } from '../../src-main/api/contract/reading-calls.ts';
import type { ReadingHints } from '../../src-main/model/reading-hints.ts';
import { ask, problemOf } from './door.ts';
import type { Jobs } from './jobs.svelte.ts';
import { EMPTY_FORM, formOf, hintsOf, type ReadingForm } from './reading-form.ts';
import { bytesOf, type Arriving } from './together.ts';

/** One file under the user's hand: the reader's guess, the corrections as they are typed, and what comes of them. */
export class Reading {
  form = $state<ReadingForm>({ ...EMPTY_FORM });
  preview = $state.raw<ReadingPreview | null>(null);
  /** What went wrong with looking at all; what is wrong with the file is in the preview. */
  failure = $state.raw<ApiProblem | null>(null);
  remembered = $state.raw<ReadingHints | null>(null);
  readonly #client: Client;
  readonly #jobs: Jobs;
  readonly #source: Arriving;
  #bytes: Awaited<ReturnType<typeof bytesOf>> | null = null;
  /** Only the answer to the last question counts. */
  #asked = 0;
  readonly #typed = $derived(hintsOf(this.form));

  constructor(client: Client, jobs: Jobs, source: Arriving) {
    this.#client = client;
    this.#jobs = jobs;
    this.#source = source;
  }

  get hints(): ReadingHints {
    return this.#typed.hints;
  }
  get problems() {
    return this.#typed.problems;
  }
  get isCorrected(): boolean {
    return Object.keys(this.hints).length > 0;
  }

  /** Looks for the first time; corrections remembered for the layout are put into the fields. */
  async start(): Promise<void> {
    await this.look();
    if (this.remembered !== null && !this.isCorrected) {
      this.form = formOf(this.remembered);
      await this.look();
    }
  }

  /** Reads the file as the fields say and shows what comes of it. Nothing is kept. */
  async look(): Promise<void> {
    const question = ++this.#asked;
    try {
      this.#bytes ??= await bytesOf(this.#source);
      const { file, bytes, companions } = this.#bytes;
      const hints = { ...this.hints };
      const answer = await this.#jobs.run(`Looking at ${file}`, (jobId) =>
        ask(this.#client, 'readingPreview', {
          file,
          bytes,
          hints,
          jobId,
          ...(companions.length === 0 ? {} : { companions }),
        }),
      );
      if (question !== this.#asked) return;
      const { remembered, ...preview } = answer;
      this.preview = preview;
      this.remembered = remembered;
      this.failure = null;
    } catch (error) {
      if (question === this.#asked) this.failure = problemOf(error);
    }
  }

  /** Remembers the corrections for every file of this layout, or forgets them. */
  async remember(keep: boolean): Promise<void> {
    if (this.preview === null) return;
    const { layoutKey } = this.preview;
    const hints = keep && this.isCorrected ? { ...this.hints } : null;
    await ask(this.#client, 'readingRemember', { layoutKey, hints });
    this.remembered = hints;
  }
}
