import type { Client } from '../../src-main/api/contract.ts';
import type { GridChoice } from '../../src-main/api/contract/verdict-calls.ts';
import type { StateGrid } from '../../src-main/model/state-track.ts';
import type { TrackStatus } from '../../src-main/model/track.ts';
import { ask } from './door.ts';
import type { GridFilter, GridOrder } from './grid-rows.ts';
import type { Jobs } from './jobs.svelte.ts';
import type { Notices } from './notices.svelte.ts';

/** All lines through all states: what is followed, how it is sorted and filtered, which cell is chosen. */
export class GridStore {
  isShown = $state(false);
  choices = $state.raw<readonly GridChoice[]>([]);
  choiceIndex = $state(0);
  grid = $state.raw<StateGrid | null>(null);
  isStale = $state(false);
  order = $state<GridOrder>('source');
  source = $state<string | null>(null);
  band = $state<string | null>(null);
  status = $state<TrackStatus | null>(null);
  /** Number of the chosen track and its column. */
  trackNumber = $state<number | null>(null);
  column = $state<number | null>(null);
  readonly #client: Client;
  readonly #jobs: Jobs;
  readonly #notices: Notices;

  constructor(client: Client, jobs: Jobs, notices: Notices) {
    this.#client = client;
    this.#jobs = jobs;
    this.#notices = notices;
  }

  get filter(): GridFilter {
    return { source: this.source, band: this.band, status: this.status };
  }

  clear(): void {
    Object.assign(this, { choices: [], choiceIndex: 0, grid: null, isStale: false, trackNumber: null, column: null });
    Object.assign(this, { source: null, band: null, status: null, isShown: false });
  }

  /** Shows the grid, followed anew where nothing is kept or something has changed. */
  async show(): Promise<void> {
    this.isShown = true;
    if (this.grid === null || this.isStale) await this.run();
  }

  async run(): Promise<void> {
    const choices = await this.#notices.attempt(() => ask(this.#client, 'gridChoices', {}));
    if (choices === undefined) return;
    this.choices = choices;
    const choice = choices[Math.min(this.choiceIndex, choices.length - 1)];
    if (choice === undefined) {
      this.grid = null;
      return;
    }
    const grid = await this.#notices.attempt(() =>
      this.#jobs.run('Following every line through the states', (jobId) =>
        ask(this.#client, 'gridRun', { captureIds: choice.captureIds, jobId }),
      ),
    );
    if (grid === undefined) return;
    Object.assign(this, { grid, isStale: false, trackNumber: null, column: null });
  }

  async choose(index: number): Promise<void> {
    this.choiceIndex = index;
    await this.run();
  }

  follow(subjects: readonly string[]): void {
    const rests = ['source', 'capture', 'decision', 'condition', 'state', 'fix', 'point', 'band', 'register'];
    if (this.grid !== null && subjects.some((one) => rests.includes(one))) this.isStale = true;
  }
}
