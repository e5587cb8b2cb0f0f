import type { CaptureSummary, Client, RegisterInfo, SourceEntry } from '../../src-main/api/contract.ts';
import type { Band } from '../../src-main/model/band.ts';
import type { BuildState, EnvironmentEvent, Fix } from '../../src-main/model/build-state.ts';
import type { MeasuringPoint } from '../../src-main/model/measuring-point.ts';
import { ask } from './door.ts';

/** What the register holds, as lists kept in step with it. Big things (traces, triages) are fetched where they are shown. */
export class RegisterStore {
  info = $state.raw<RegisterInfo | null>(null);
  captures = $state.raw<readonly CaptureSummary[]>([]);
  sources = $state.raw<readonly SourceEntry[]>([]);
  states = $state.raw<readonly BuildState[]>([]);
  fixes = $state.raw<readonly Fix[]>([]);
  points = $state.raw<readonly MeasuringPoint[]>([]);
  events = $state.raw<readonly EnvironmentEvent[]>([]);
  bands = $state.raw<readonly Band[]>([]);
  readonly #client: Client;

  constructor(client: Client) {
    this.#client = client;
  }

  async loadAll(): Promise<void> {
    const client = this.#client;
    const [info, captures, sources, states, fixes, points, events, bands] = await Promise.all([
      ask(client, 'registerInfo', {}),
      ask(client, 'captureList', {}),
      ask(client, 'sourceList', {}),
      ask(client, 'stateList', {}),
      ask(client, 'fixList', {}),
      ask(client, 'pointList', {}),
      ask(client, 'eventList', {}),
      ask(client, 'bandList', {}),
    ]);
    Object.assign(this, { info, captures, sources, states, fixes, points, events, bands });
  }

  async refresh(subjects: readonly string[]): Promise<void> {
    const known = [
      'source',
      'capture',
      'state',
      'fix',
      'point',
      'condition',
      'event',
      'band',
      'decision',
      'settings',
      'triage',
      'plan',
    ];
    if (subjects.length === 0 || subjects.some((subject) => !known.includes(subject))) return this.loadAll();
    const has = (...names: string[]) => names.some((name) => subjects.includes(name));
    const client = this.#client;
    const work: Promise<unknown>[] = [ask(client, 'registerInfo', {}).then((v) => (this.info = v))];
    if (has('capture', 'condition', 'triage', 'source'))
      work.push(ask(client, 'captureList', {}).then((v) => (this.captures = v)));
    if (has('source')) work.push(ask(client, 'sourceList', {}).then((v) => (this.sources = v)));
    if (has('state')) work.push(ask(client, 'stateList', {}).then((v) => (this.states = v)));
    if (has('fix', 'state', 'source')) work.push(ask(client, 'fixList', {}).then((v) => (this.fixes = v)));
    if (has('point')) work.push(ask(client, 'pointList', {}).then((v) => (this.points = v)));
    if (has('event')) work.push(ask(client, 'eventList', {}).then((v) => (this.events = v)));
    if (has('band')) work.push(ask(client, 'bandList', {}).then((v) => (this.bands = v)));
    await Promise.all(work);
  }

  capture(id: number | null): CaptureSummary | null {
    return this.captures.find((capture) => capture.id === id) ?? null;
  }
  state(id: number | null): BuildState | null {
    return this.states.find((state) => state.id === id) ?? null;
  }
  point(id: number | null): MeasuringPoint | null {
    return this.points.find((point) => point.id === id) ?? null;
  }
}
