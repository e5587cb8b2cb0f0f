import type { Api } from '../../../../src-main/api/contract.ts';
import type { App } from '../../../state/app.svelte.ts';
import { ask } from '../../../state/door.ts';
import type {
  FreezeOffer,
  FrozenRevision,
  PacketWritten,
  RecheckView,
} from '../../../../src-main/api/contract/packet-calls.ts';
import type { RecheckJudgement } from '../../../../src-main/model/recheck.ts';
import type { ReviewNote } from '../../../../src-main/model/review-note.ts';

export type VerifyReport = Awaited<ReturnType<Api['packetVerify']>>;
export interface KeyText {
  readonly file: string;
  readonly pem: string;
}

/** What is frozen, what was written, re-checked and said in reviews; and what the page is doing with it. */
export class PacketDesk {
  revisions = $state.raw<readonly FrozenRevision[]>([]);
  rechecks = $state.raw<readonly RecheckView[]>([]);
  notes = $state.raw<readonly ReviewNote[]>([]);
  offer = $state.raw<FreezeOffer | null>(null);
  written = $state.raw<PacketWritten | null>(null);
  report = $state.raw<VerifyReport | null>(null);
  judgement = $state.raw<{ readonly id: number; readonly judged: RecheckJudgement } | null>(null);
  isLoaded = $state(false);
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
  }

  get latest(): FrozenRevision | null {
    return this.revisions.at(-1) ?? null;
  }

  /** Brings the lists in step with the register. */
  async load(): Promise<void> {
    const { client, notices } = this.#app;
    await notices.attempt(async () => {
      const [revisions, rechecks, notes] = await Promise.all([
        ask(client, 'freezeList', {}),
        ask(client, 'recheckList', {}),
        ask(client, 'reviewNoteList', {}),
      ]);
      Object.assign(this, { revisions, rechecks, notes, isLoaded: true });
    });
  }

  async offerFor(stateId: number): Promise<void> {
    this.offer = (await this.#app.attempt('freezeOffer', { stateId })) ?? null;
  }

  async freeze(stateId: number, by: string, note: string): Promise<boolean> {
    const done = await this.#app.change('freezePut', { stateId, by, note }, 'freeze');
    if (done === undefined) return false;
    await this.load();
    return true;
  }

  async reopen(freezeId: number, by: string, reason: string): Promise<boolean> {
    const done = await this.#app.change('freezeReopen', { freezeId, by, reason }, 'freeze');
    if (done !== undefined) await this.load();
    return done !== undefined;
  }

  async write(freezeId: number | null, folder: string, key: KeyText | null): Promise<void> {
    const { client, jobs, notices } = this.#app;
    this.written = null;
    const written = await notices.attempt(() =>
      jobs.run('Writing the packet', (jobId) => ask(client, 'packetWrite', { freezeId, folder, key, jobId })),
    );
    if (written === undefined) return;
    this.written = written;
    await this.load();
  }

  async verify(folder: string, publicKey: KeyText | null): Promise<void> {
    const { client, jobs, notices } = this.#app;
    this.report = null;
    const report = await notices.attempt(() =>
      jobs.run('Computing the packet again', (jobId) => ask(client, 'packetVerify', { folder, publicKey, jobId })),
    );
    this.report = report ?? null;
  }

  async changeRecheck<K extends 'recheckOpen' | 'recheckState' | 'recheckItem'>(
    name: K,
    argument: Parameters<Api[K]>[0],
  ): Promise<RecheckView | null> {
    const done = await this.#app.change(name, argument, 'recheck');
    if (done === undefined) return null;
    this.judgement = null;
    await this.load();
    return done.value;
  }

  async judge(id: number): Promise<void> {
    const { client, jobs, notices } = this.#app;
    const judged = await notices.attempt(() =>
      jobs.run('Holding the repeats against the baseline', (jobId) => ask(client, 'recheckRun', { id, jobId })),
    );
    this.judgement = judged === undefined ? null : { id, judged };
  }

  async say(note: Parameters<Api['reviewNotePut']>[0]): Promise<boolean> {
    const done = await this.#app.change('reviewNotePut', note, 'review_note');
    if (done !== undefined) await this.load();
    return done !== undefined;
  }

  async close(id: number, answer: string): Promise<void> {
    await this.#app.change('reviewNoteClose', { id, answer }, 'review_note');
    await this.load();
  }
}

/** Text of a key file that the user picked; keys are small, anything else is another file. */
export async function keyText(file: File): Promise<KeyText | string> {
  if (file.size > 20_000) return `${file.name} has ${file.size} bytes; a key in PEM has a few hundred.`;
  return { file: file.name, pem: await file.text() };
}

/** `2026-03-25 09:00`, in the time of this machine. */
export function momentText(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const two = (n: number) => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
