import { getContext, setContext } from 'svelte';
import type { Api, CallName, CaptureSummary, Client, FieldProblem } from '../../src-main/api/contract.ts';
import type { PageKept } from '../../src-main/api/contract/shell-calls.ts';
import { REGISTER_IN_ADDRESS } from '../../src-main/api/wire.ts';
import type { Source } from '../../src-main/model/source.ts';
import { Arrivals } from './arrivals.svelte.ts';
import { Bench } from './bench.svelte.ts';
import { ask } from './door.ts';
import { Fixes } from './fixes.svelte.ts';
import { Guess } from './guess.svelte.ts';
import { History } from './history.svelte.ts';
import { Jobs } from './jobs.svelte.ts';
import { Keys } from './keys.svelte.ts';
import { Look } from './look.svelte.ts';
import { Notices } from './notices.svelte.ts';
import { Opening } from './opening.svelte.ts';
import { Photos } from './photos.svelte.ts';
import { PlaceKeeper } from './place-keeper.svelte.ts';
import { Plan } from './plan.svelte.ts';
import { RegisterStore } from './register.svelte.ts';
import { Signoff } from './signoff.svelte.ts';
import { GridStore } from './state-grid.svelte.ts';

export type Screen = 'bench' | 'sources' | 'fixes' | 'plan' | 'signoff' | 'history';
export type Sheet =
  | 'registers'
  | 'marks'
  | 'goto'
  | 'look'
  | 'photos'
  | 'captures'
  | 'opened'
  | 'reading'
  | 'rows'
  | 'facts'
  | 'condition'
  | 'spectrum'
  | 'calibration'
  | 'folders'
  | 'export'
  | null;

/** Everything the page knows, put together once. */
export class App {
  screen = $state<Screen>('bench');
  sheet = $state<Sheet>(null);
  isReady = $state(false);
  /** A source to be entered on the Sources screen, handed over from elsewhere (an unknown comb). */
  sourceDraft = $state.raw<Partial<Source> | null>(null);
  readonly client: Client;
  readonly keys = new Keys();
  readonly look: Look;
  readonly place: PlaceKeeper;
  readonly notices = new Notices();
  readonly jobs: Jobs;
  readonly register: RegisterStore;
  readonly bench: Bench;
  readonly opening: Opening;
  readonly fixes: Fixes;
  readonly history: History;
  readonly photos: Photos;
  readonly plan: Plan;
  readonly guess: Guess;
  readonly arrivals: Arrivals;
  readonly grid: GridStore;
  readonly signoff: Signoff;
  #subjects = new Set<string>();
  #refreshing: Promise<void> | null = null;

  readonly #kept: PageKept;

  /** @param kept what the program kept of the page; left out: nothing */
  constructor(client: Client, kept: PageKept = { look: null, place: null }) {
    this.client = client;
    this.#kept = kept;
    this.look = new Look(kept.look, (look) => void client.call('pageKeep', { look }));
    this.place = new PlaceKeeper(client, this);
    this.jobs = new Jobs(client);
    this.register = new RegisterStore(client);
    this.bench = new Bench(client, this.register, this.jobs, this.notices);
    this.opening = new Opening(client, this.jobs);
    this.fixes = new Fixes(client, this.register, this.jobs, this.notices);
    this.history = new History(client, this.notices);
    this.photos = new Photos(client, this.notices);
    this.guess = new Guess(client, this.notices);
    this.plan = new Plan(client, this.register, this.jobs, this.notices);
    this.arrivals = new Arrivals(client);
    this.grid = new GridStore(client, this.jobs, this.notices);
    this.signoff = new Signoff(client, this.register, this.jobs, this.notices);
    client.on('registerChanged', ({ subjects }) => void this.changed(subjects));
  }

  async start(): Promise<void> {
    await this.notices.attempt(() => this.register.loadAll());
    this.#tellAddress();
    const place = await this.place.find(this.#kept.place);
    const arrived = this.place.goTo(place, this.#first());
    this.isReady = true;
    await arrived;
  }

  /** Of the captures of a register the first that shows the item running; references only where there is nothing else. */
  #first(): number | null {
    const { captures } = this.register;
    return (captures.find((capture) => capture.condition.role === 'item') ?? captures[0])?.id ?? null;
  }

  /** The address of the page says which register it shows, so that the page loaded anew comes back to it. */
  #tellAddress(): void {
    const key = this.register.info?.key;
    if (key !== undefined && typeof history !== 'undefined') history.replaceState(null, '', addressOf(key));
  }

  /** Brings the lists in step with the register; changes that arrive meanwhile are taken in the next round. */
  async changed(subjects: readonly string[]): Promise<void> {
    for (const subject of subjects) this.#subjects.add(subject);
    if (subjects.length === 0) this.#subjects.add('register');
    this.#refreshing ??= this.#refresh().finally(() => (this.#refreshing = null));
    await this.#refreshing;
  }

  async #refresh(): Promise<void> {
    while (this.#subjects.size > 0) {
      const subjects = [...this.#subjects];
      this.#subjects.clear();
      await this.notices.attempt(() => this.register.refresh(subjects));
      await this.#follow(subjects);
    }
  }

  async #follow(subjects: readonly string[]): Promise<void> {
    const has = (...names: string[]) => names.some((name) => subjects.includes(name));
    if (this.screen === 'history') await this.history.load();
    this.grid.follow(subjects);
    await this.signoff.follow(subjects);
    if (this.sheet === 'photos' && has('photo', 'register')) await this.photos.load();
    const { bench } = this;
    if (bench.captureId !== null && bench.capture === null) bench.clear();
    if (bench.captureId === null) return;
    if (has('source', 'condition', 'capture', 'settings', 'register')) await bench.refreshTriage();
    else if (has('decision')) await bench.reloadDecisions();
  }

  /** A call whose failure is posted as a notice; undefined then. */
  attempt<K extends CallName>(
    name: K,
    argument: Parameters<Api[K]>[0],
  ): Promise<Awaited<ReturnType<Api[K]>> | undefined> {
    return this.notices.attempt(() => ask(this.client, name, argument));
  }

  /** A call that changes the register; the lists follow at once and not only with the push. */
  async change<K extends CallName>(
    name: K,
    argument: Parameters<Api[K]>[0],
    ...subjects: string[]
  ): Promise<{ value: Awaited<ReturnType<Api[K]>> } | undefined> {
    const done = await this.notices.attempt(async () => ({ value: await ask(this.client, name, argument) }));
    if (done !== undefined) await this.changed(subjects);
    return done;
  }

  async undo(): Promise<void> {
    await this.change('undo', {}, 'register');
  }
  async redo(): Promise<void> {
    await this.change('redo', {}, 'register');
  }

  async openFiles(files: readonly File[]): Promise<void> {
    if (files.length === 0) return;
    this.sheet = null;
    this.screen = 'bench';
    const stateId = this.bench.capture?.stateId ?? this.bench.nextStateId;
    const captures = await this.opening.open(files, stateId);
    await this.changed(['capture', 'condition']);
    const [first] = captures;
    if (this.opening.list.some((file) => file.outcome === 'refused') || this.opening.list.length > 1)
      this.sheet = 'opened';
    if (first !== undefined) await this.bench.show(first.id);
    await this.#triageRest(captures.slice(1));
  }

  /** Captures that came in together are triaged one after the other, so that the picker can say how many spurs each has. */
  async #triageRest(captures: readonly CaptureSummary[]): Promise<void> {
    for (const { id, file } of captures) {
      const kept = await this.client.call('triageGet', { captureId: id });
      if (kept.ok && kept.value !== null) continue;
      const answer = await this.jobs.run(`Triage of ${file}`, (jobId) =>
        this.client.call('triageRun', { captureId: id, jobId }),
      );
      if (!answer.ok && answer.problem.kind === 'cancelled') break;
    }
    if (captures.length > 0) await this.notices.attempt(() => this.register.refresh(['capture']));
  }

  /** Opens a register in a window of its own; this one stays where it is. Left out: the register of this window. */
  async openBeside(path = this.register.info?.path): Promise<void> {
    if (path === undefined) return;
    const beside = await this.attempt('registerKey', { path });
    if (beside === undefined) return;
    this.sheet = null;
    // with no tie to this page the window gets a thread of its own
    window.open(addressOf(beside.key), '_blank', 'noopener');
  }

  async changeRegister<K extends 'registerNew' | 'registerOpen' | 'registerOpenDemo'>(
    name: K,
    argument: Parameters<Api[K]>[0],
  ): Promise<boolean> {
    this.place.flush();
    const info = await this.attempt(name, argument);
    if (info === undefined) return false;
    this.place.leave();
    this.bench.clear();
    this.bench.list.clear();
    this.fixes.clear();
    this.grid.clear();
    this.signoff.clear();
    this.plan.clear();
    this.guess.clear();
    this.opening.list = [];
    this.sheet = null;
    this.screen = 'bench';
    await this.notices.attempt(() => this.register.loadAll());
    this.#tellAddress();
    await this.place.goTo(await this.place.find(), this.#first());
    return true;
  }

  async checkSource(source: Source, replaces: string | null): Promise<readonly FieldProblem[]> {
    return (await this.attempt('sourceCheck', { source, replaces })) ?? [];
  }
}

function addressOf(key: string): string {
  return `${location.pathname}?${new URLSearchParams({ [REGISTER_IN_ADDRESS]: key }).toString()}`;
}

const KEY = Symbol('app');

export function provideApp(app: App): void {
  setContext(KEY, app);
}

export function useApp(): App {
  return getContext<App>(KEY);
}
