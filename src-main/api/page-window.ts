import { checkedArgument } from './argument-checks.ts';
import type { Api, CallName, RegisterInfo } from './contract.ts';
import type { EventListener } from './door.ts';
import { EventHub } from './door.ts';
import { JobCancelled } from './jobs/job-runner.ts';
import type { KeptPages } from './kept-pages.ts';
import type { OpenRegister, WindowCalls } from './open-register.ts';
import type { OpenRegisters } from './open-registers.ts';

/**
 * One window: which register it shows, its calls and its pushes. Opening another register moves this window alone; what it had asked of
 * the one before is then answered as cancelled, since capture 1 there is not capture 1 here.
 */
export class PageWindow {
  readonly api: Api;
  readonly hub = new EventHub();
  readonly #registers: OpenRegisters;
  readonly #pages: KeptPages;
  #at: OpenRegister;
  #deaf: () => void = () => undefined;
  #isClosed = false;

  /** @param key of the register to show; null: the one used last, else the scratch register */
  constructor(registers: OpenRegisters, pages: KeptPages, key: string | null) {
    this.#registers = registers;
    this.#pages = pages;
    this.#at = registers.ofKey(key);
    this.#enter();
    this.api = this.#calls();
  }

  /** Path of the register it shows. */
  get register(): string {
    return this.#at.session.register.path;
  }

  close(): void {
    if (this.#isClosed) return;
    this.#isClosed = true;
    this.#deaf();
    this.#registers.leave(this.#at);
  }

  #enter(): void {
    this.#registers.enter(this.#at);
    const pass: EventListener = (name, event) => this.hub.emit(name, event);
    this.#deaf = this.#at.hub.listen(pass);
  }

  #moveTo(next: OpenRegister): RegisterInfo {
    if (next !== this.#at && !this.#isClosed) {
      this.#deaf();
      const before = this.#at;
      this.#at = next;
      this.#enter();
      this.#registers.leave(before);
    }
    return this.#at.session.info();
  }

  #calls(): Api {
    const own: WindowCalls = {
      registerNew: ({ path, title }) => Promise.resolve(this.#moveTo(this.#registers.create(path, title))),
      registerOpen: ({ path }) => Promise.resolve(this.#moveTo(this.#registers.open(path))),
      registerOpenDemo: async () => this.#moveTo(this.#registers.open(await this.#at.makeDemo())),
      registerKey: ({ path }) => Promise.resolve({ key: this.#registers.look(path) }),
      pageKept: () => Promise.resolve(this.#pages.of(this.#at.session.register.path)),
      pageKeep: (kept) => Promise.resolve(this.#pages.keep(this.#at.session.register.path, kept)),
    };
    const passed = this.#at.callNames.map((name) => [name, (argument: unknown) => this.#ask(name, argument)]);
    const all = { ...(Object.fromEntries(passed) as object), ...own };
    return withCheckedArguments(all);
  }

  async #ask(name: string, argument: unknown): Promise<unknown> {
    const asked = this.#at;
    const answer = await asked.call(name, argument);
    if (asked !== this.#at) throw new JobCancelled('another register was opened in this window meanwhile');
    return answer;
  }
}

/** The same calls behind their argument checks; a call that throws at once rejects like any other. */
function withCheckedArguments(calls: object): Api {
  const checked = Object.entries(calls).map(([name, call]: [string, (argument: never) => Promise<unknown>]) => [
    name,

    async (argument: unknown) => call(checkedArgument(name as CallName, argument) as never),
  ]);
  return Object.fromEntries(checked) as Api;
}
