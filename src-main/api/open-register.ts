import type { Api } from './contract.ts';
import type { ShellCalls } from './contract/shell-calls.ts';
import type { EventHub } from './door.ts';
import type { JobRunner } from './jobs/job-runner.ts';
import type { Session } from './session.ts';

/** What a window answers itself, because it may move it to another register or is about windows. */
export type WindowCalls = Pick<Api, 'registerNew' | 'registerOpen' | 'registerOpenDemo'> & ShellCalls;
/** What is asked of a register. */
export type RegisterApi = Omit<Api, keyof WindowCalls>;

interface Parts {
  readonly session: Session;
  readonly jobs: JobRunner;
  readonly calls: RegisterApi;
  readonly hub: EventHub;
  /** Ends the watch of folders. */
  readonly stopWatching: () => void;
  /** Makes a demonstration with this register's workers; gives its path. */
  readonly makeDemo: () => Promise<string>;
}

/** A register that is open with all that belongs to it: its calls, jobs, watched folders, and the pushes to every window that shows it. */
export class OpenRegister {
  readonly session: Session;
  readonly hub: EventHub;
  readonly #parts: Parts;
  readonly #underWay = new Set<Promise<unknown>>();

  constructor(parts: Parts) {
    this.#parts = parts;
    this.session = parts.session;
    this.hub = parts.hub;
  }

  get callNames(): readonly string[] {
    return Object.keys(this.#parts.calls);
  }

  /** True while something that was asked of it is not answered yet. */
  get isBusy(): boolean {
    return this.#underWay.size > 0;
  }

  call(name: string, argument: unknown): Promise<unknown> {
    const calls = this.#parts.calls as unknown as Record<string, (argument: unknown) => Promise<unknown>>;
    return this.#track(() => calls[name]!(argument));
  }

  makeDemo(): Promise<string> {
    return this.#track(this.#parts.makeDemo);
  }

  /** Jobs under way are cancelled; the file is closed once the calls that waited for them have said so. */
  async close(): Promise<void> {
    this.#parts.stopWatching();
    await this.#parts.jobs.close();
    await Promise.allSettled(this.#underWay);
    this.session.close();
  }

  async #track<T>(act: () => Promise<T>): Promise<T> {
    const answer = act();
    this.#underWay.add(answer);
    try {
      return await answer;
    } finally {
      this.#underWay.delete(answer);
    }
  }
}
