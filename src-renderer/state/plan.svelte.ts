import type { Client } from '../../src-main/api/contract.ts';
import type { MeasuredSource, PlanTrial } from '../../src-main/api/contract/plan-calls.ts';
import type { LockPoint, PlanCurve, PlanMap } from '../../src-main/model/plan-curve.ts';
import type { AdoptedPlan, PlanBasis } from '../../src-main/model/adopted-plan.ts';
import type { PlanCheck } from '../../src-main/model/plan-check.ts';
import type { Planning, PlanRisks, SourceSetting } from '../../src-main/model/plan.ts';
import type { Source } from '../../src-main/model/source.ts';
import { ask } from './door.ts';
import type { Jobs } from './jobs.svelte.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';

export const FIRST_BASIS: PlanBasis = {
  temperatureSpanK: 10,
  leakageHz: 0,
  offerLocks: true,
  seed: 1,
  useMeasured: true,
  leftOut: [],
};
const CURVE_POINTS = 260;
const MAP_COLUMNS = 150;
const MAP_ROWS = 110;

type Chosen = readonly SourceSetting[];

/** Which settings are looked at, what they cost, and what the search found. Nothing here changes the register but keep and drop. */
export class Plan {
  basis = $state.raw<PlanBasis>(FIRST_BASIS);
  planning = $state.raw<Planning | null>(null);
  /** True while only the first plans are there and the proof is still weak. */
  isFirstLook = $state(false);
  /** Settings that differ from today, by hand or by a plan. */
  chosen = $state.raw<Chosen>([]);
  trial = $state.raw<PlanTrial | null>(null);
  risks = $state.raw<PlanRisks | null>(null);
  curves = $state.raw<readonly PlanCurve[]>([]);
  map = $state.raw<PlanMap | null>(null);
  /** The two sources that the map and the curves show. */
  pair = $state.raw<readonly string[]>([]);
  measured = $state.raw<readonly MeasuredSource[]>([]);
  kept = $state.raw<readonly AdoptedPlan[]>([]);
  checks = $state.raw<ReadonlyMap<number, PlanCheck | null>>(new Map());
  #past = $state.raw<readonly Chosen[]>([]);
  #future = $state.raw<readonly Chosen[]>([]);
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #jobs: Jobs;
  readonly #notices: Notices;
  #turn = 0;

  constructor(client: Client, register: RegisterStore, jobs: Jobs, notices: Notices) {
    this.#client = client;
    this.#register = register;
    this.#jobs = jobs;
    this.#notices = notices;
  }

  get isPossible(): boolean {
    return this.#register.bands.length > 0 && this.sources.length > 0;
  }

  /** The sources that are counted. */
  get sources(): readonly Source[] {
    return this.#register.sources
      .map(({ source }) => source)
      .filter(({ designator }) => !this.basis.leftOut.includes(designator));
  }

  get canGoBack(): boolean {
    return this.#past.length > 0;
  }
  get canGoForward(): boolean {
    return this.#future.length > 0;
  }

  clear(): void {
    this.#turn++;
    Object.assign(this, { planning: null, chosen: [], trial: null, risks: null, curves: [], map: null, pair: [] });
    Object.assign(this, { measured: [], kept: [], checks: new Map(), basis: FIRST_BASIS });
    this.#past = this.#future = [];
  }

  /** Brings everything in step with the register; the first time the search is started too. */
  async load(): Promise<void> {
    const client = this.#client;
    if (this.basis === FIRST_BASIS) this.basis = { ...FIRST_BASIS, leftOut: this.#alwaysOff() };
    await this.#notices.attempt(async () => {
      this.kept = await ask(client, 'planList', {});
      this.measured = await ask(client, 'planMeasured', {});
      const checks = await Promise.all(
        this.kept.map(async ({ id }) => [id, await ask(client, 'planCheck', { id })] as const),
      );
      this.checks = new Map(checks);
    });
    const known = new Set(this.sources.map(({ designator }) => designator));
    this.chosen = this.chosen.filter(
      ({ source, lockedTo }) => known.has(source) && (lockedTo === null || known.has(lockedTo)),
    );
    if (!this.pair.every((name) => known.has(name)) || this.pair.length === 0) this.pair = this.#firstPair();
    if (!this.isPossible) return;
    await this.#follow();
    if (this.planning === null) await this.search();
  }

  async setBasis(change: Partial<PlanBasis>): Promise<void> {
    this.basis = { ...this.basis, ...change };
    this.planning = null;
    await this.load();
  }

  /** First plans at once, then the full search; cancelled, the first ones stay. */
  async search(): Promise<void> {
    if (!this.isPossible) return;
    const run = (quick: boolean, label: string) =>
      this.#notices.attempt(() =>
        this.#jobs.run(label, (jobId) => ask(this.#client, 'planRun', { basis: this.basis, quick, jobId })),
      );
    const { basis } = this;
    const first = await run(true, 'First plans');
    if (first === undefined || this.basis !== basis) return;
    this.isFirstLook = !first.isExact;
    this.planning = first;
    if (this.chosen.length === 0 && !this.canGoBack) this.choosePlan(0);
    if (first.isExact) return;
    const full = await run(false, 'Searching for better plans');
    if (full === undefined || this.basis !== basis) return;
    this.planning = full;
    this.isFirstLook = false;
  }

  /** The plans found, the one with the least lost weight first. */
  get ranked(): readonly Planning['plans'][number][] {
    return [...(this.planning?.plans ?? [])].sort((a, b) => a.lostWeight - b.lostWeight || a.changes - b.changes);
  }

  /** Place of the plan that the settings are now in `ranked`; -1 for settings made by hand. */
  get rankOfChosen(): number {
    const now = settingsKey(this.chosen);
    return this.ranked.findIndex((plan) => settingsKey(changedOf(plan)) === now);
  }

  choosePlan(rank: number): void {
    const { ranked } = this;
    const plan = ranked[Math.min(ranked.length - 1, Math.max(0, rank))];
    if (plan !== undefined) this.choose(changedOf(plan));
  }

  /** One setting by hand. */
  set(setting: SourceSetting): void {
    this.choose([...this.chosen.filter(({ source }) => source !== setting.source), setting]);
  }

  setFrequency(source: string, nominalHz: number): void {
    this.set({ source, nominalHz, lockedTo: null, lockNumerator: null, lockDenominator: null });
  }

  lock(source: string, point: LockPoint): void {
    const { frequencyHz, to, numerator, denominator } = point;
    this.set({
      source,
      nominalHz: frequencyHz,
      lockedTo: to,
      lockNumerator: numerator,
      lockDenominator: denominator,
    });
  }

  /** Back to what the register has. */
  reset(): void {
    this.choose([]);
  }

  choose(chosen: Chosen): void {
    if (settingsKey(chosen) === settingsKey(this.chosen)) return;
    this.#past = [...this.#past.slice(-199), this.chosen];
    this.#future = [];
    this.chosen = chosen;
    void this.#follow();
  }

  back(): void {
    const previous = this.#past.at(-1);
    if (previous === undefined) return;
    this.#past = this.#past.slice(0, -1);
    this.#future = [this.chosen, ...this.#future];
    this.chosen = previous;
    void this.#follow();
  }

  forward(): void {
    const [next, ...rest] = this.#future;
    if (next === undefined) return;
    this.#past = [...this.#past, this.chosen];
    this.#future = rest;
    this.chosen = next;
    void this.#follow();
  }

  showPair(pair: readonly string[]): void {
    this.pair = pair;
    void this.#follow();
  }

  /** Where a source runs in the settings looked at, also while their cost is still being worked out. */
  settingOf(source: string): SourceSetting | null {
    const byHand = this.chosen.find((setting) => setting.source === source);
    if (byHand !== undefined || this.trial === null) return byHand ?? null;
    const { plan, today } = this.trial;
    const place = plan.sources.findIndex((one) => one.source === source);
    // an unchanged source may still follow its master; one that was changed a moment ago is back at today's
    return (plan.sources[place]?.changed ? today.plan : plan).settings[place] ?? null;
  }

  /** One step of a source's range, up or down. */
  step(source: string, by: number): void {
    const at = this.settingOf(source);
    const entry = this.sources.find(({ designator }) => designator === source);
    if (at === null || entry === undefined) return;
    const { adjust } = entry;
    const stepHz = adjust?.stepHz ?? (adjust === null ? entry.nominalHz / 1000 : (adjust.highHz - adjust.lowHz) / 200);
    const lowHz = adjust?.lowHz ?? stepHz;
    const highHz = adjust?.highHz ?? Infinity;
    const steps = (at.nominalHz - lowHz) / stepHz;
    // from between two steps the next one is the nearer of the two on that side
    const next = by > 0 ? Math.floor(steps + 1e-6) + by : Math.ceil(steps - 1e-6) + by;
    const nominalHz = Math.min(highHz, Math.max(lowHz, lowHz + next * stepHz));
    this.setFrequency(source, nominalHz);
  }

  /** The next point at which a source can lock, round and round. */
  nextLock(source: string): void {
    const curve = this.curves.find((one) => one.source === source);
    const at = this.settingOf(source);
    if (curve === undefined || at === null || curve.locks.length === 0) return;
    const next = curve.locks.find(({ frequencyHz }) => frequencyHz > at.nominalHz * (1 + 1e-9)) ?? curve.locks[0]!;
    this.lock(source, next);
  }

  async keep(title: string, stateName: string | null, parentId: number | null): Promise<boolean> {
    const { basis, chosen } = this;
    const kept = await this.#notices.attempt(() =>
      ask(this.#client, 'planAdopt', { title, basis, chosen, stateName, parentId }),
    );
    return kept !== undefined;
  }

  async drop(id: number): Promise<void> {
    await this.#notices.attempt(() => ask(this.#client, 'planDrop', { id }));
  }

  /** Trial at once, then curves and map, then what takes longest; only the latest settings arrive. */
  async #follow(): Promise<void> {
    const turn = ++this.#turn;
    const { basis, chosen, pair } = this;
    const client = this.#client;
    const isLatest = () => turn === this.#turn;
    await this.#notices.attempt(async () => {
      const trial = await ask(client, 'planTry', { basis, chosen });
      if (!isLatest()) return;
      this.trial = trial;
      const curves = await Promise.all(
        pair.map((source) => ask(client, 'planCurve', { basis, chosen, source, points: CURVE_POINTS })),
      );
      if (!isLatest()) return;
      this.curves = curves;
      const [first, second] = pair;
      const map =
        first === undefined || second === undefined
          ? null
          : await ask(client, 'planMap', { basis, chosen, first, second, columns: MAP_COLUMNS, rows: MAP_ROWS });
      if (!isLatest()) return;
      this.map = map;
      const risks = await ask(client, 'planRisks', { basis, chosen });
      if (isLatest()) this.risks = risks;
    });
  }

  /** Sources that every capture of the item states to be off: most likely they do not run while the bands are used. */
  #alwaysOff(): readonly string[] {
    const items = this.#register.captures.filter(({ condition }) => condition.role === 'item');
    const names = this.#register.sources.map(({ source }) => source.designator);
    const masters = new Set(
      this.#register.sources.flatMap(({ source }) => (source.lock === null ? [] : [source.lock.to])),
    );
    return names.filter(
      (name) =>
        items.length > 0 && !masters.has(name) && items.every(({ condition }) => condition.sourcesOff?.includes(name)),
    );
  }

  #firstPair(): readonly string[] {
    const can = this.sources.filter(({ adjust }) => adjust !== null);
    const rest = this.sources.filter(
      ({ adjust, kind, owner }) => adjust === null && kind !== 'clock' && owner === 'ours',
    );
    return [...can, ...rest].slice(0, 2).map(({ designator }) => designator);
  }
}

/** The settings of a plan that are not today's. */
export function changedOf(plan: Planning['plans'][number]): Chosen {
  return plan.settings.filter((_, i) => plan.sources[i]!.changed);
}

function settingsKey(chosen: Chosen): string {
  return chosen
    .map(({ source, nominalHz, lockedTo, lockNumerator, lockDenominator }) =>
      [source, nominalHz, lockedTo, lockNumerator, lockDenominator].join('/'),
    )
    .sort()
    .join(' ');
}
