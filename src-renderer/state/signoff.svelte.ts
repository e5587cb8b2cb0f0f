import type { Client } from '../../src-main/api/contract.ts';
import type { LimitEntry } from '../../src-main/api/contract/verdict-calls.ts';
import type { Disposition } from '../../src-main/model/disposition.ts';
import type { Judgement } from '../../src-main/model/judgement.ts';
import type { Requirement } from '../../src-main/model/requirement.ts';
import type { Verdict } from '../../src-main/model/verdict.ts';
import { ask } from './door.ts';
import type { Jobs } from './jobs.svelte.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';

/** Subjects whose changes also change these lists: a renamed band, point or source is renamed in them. */
const FOLLOWED = ['requirement', 'disposition', 'limit_line', 'band', 'point', 'source', 'register'];

/** What lies over the Sign-off screen. */
export type SignoffSheet =
  | { readonly kind: 'requirement'; readonly requirement: Requirement | null }
  | { readonly kind: 'disposition'; readonly disposition: Disposition | null; readonly verdict: Verdict | null }
  | { readonly kind: 'limits' }
  | { readonly kind: 'band'; readonly name: string | null }
  | null;

/** Requirements, limits, acceptances, and the verdict on one state. */
export class Signoff {
  stateId = $state<number | null>(null);
  judgement = $state.raw<Judgement | null>(null);
  /** Something the judgement rests on has changed since. */
  isStale = $state(false);
  requirements = $state.raw<readonly Requirement[]>([]);
  dispositions = $state.raw<readonly Disposition[]>([]);
  limits = $state.raw<readonly LimitEntry[]>([]);
  /** Place of the chosen verdict. */
  chosen = $state<number | null>(null);
  sheet = $state.raw<SignoffSheet>(null);
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #jobs: Jobs;
  readonly #notices: Notices;
  #isLoaded = false;

  constructor(client: Client, register: RegisterStore, jobs: Jobs, notices: Notices) {
    this.#client = client;
    this.#register = register;
    this.#jobs = jobs;
    this.#notices = notices;
  }

  clear(): void {
    this.#isLoaded = false;
    Object.assign(this, { stateId: null, judgement: null, isStale: false, chosen: null, sheet: null });
    Object.assign(this, { requirements: [], dispositions: [], limits: [] });
  }

  /** Lists are fetched the first time the screen is shown; as soon as there is a state, the newest measured one is judged. */
  async show(): Promise<void> {
    if (!this.#isLoaded) {
      this.#isLoaded = true;
      await this.load();
    }
    if (this.stateId !== null) return;
    const measured = this.#register.states.filter(({ id }) =>
      this.#register.captures.some((capture) => capture.stateId === id),
    );
    const newest = measured.at(-1) ?? this.#register.states.at(-1);
    this.stateId = newest?.id ?? null;
    if (this.stateId !== null) await this.judge();
  }

  async load(): Promise<void> {
    await this.#notices.attempt(async () => {
      const [requirements, dispositions, limits] = await Promise.all([
        ask(this.#client, 'requirementList', {}),
        ask(this.#client, 'dispositionList', {}),
        ask(this.#client, 'limitList', {}),
      ]);
      Object.assign(this, { requirements, dispositions, limits });
    });
  }

  async judge(): Promise<void> {
    const { stateId } = this;
    if (stateId === null) return;
    const judgement = await this.#notices.attempt(() =>
      this.#jobs.run('Judging the build', (jobId) => ask(this.#client, 'judgeRun', { stateId, jobId })),
    );
    if (judgement === undefined || this.stateId !== stateId) return;
    this.judgement = judgement;
    this.isStale = false;
    if (this.chosen !== null && this.chosen >= judgement.verdicts.length) this.chosen = null;
  }

  async choose(stateId: number): Promise<void> {
    this.stateId = stateId;
    this.judgement = null;
    this.chosen = null;
    await this.judge();
  }

  /** Brings the lists in step with the register; the judgement is only marked, since it takes work. */
  async follow(subjects: readonly string[]): Promise<void> {
    if (!this.#isLoaded) return;
    if (subjects.some((one) => FOLLOWED.includes(one))) await this.load();
    if (this.stateId !== null && this.#register.state(this.stateId) === null)
      Object.assign(this, { stateId: null, judgement: null, chosen: null });
    if (subjects.some((one) => one !== 'triage')) this.isStale = this.judgement !== null;
  }
}
