import type { Client } from '../../src-main/api/contract.ts';
import type { HistoryEntry } from '../../src-main/model/history-entry.ts';
import { ask } from './door.ts';
import type { Notices } from './notices.svelte.ts';

const PAGE = 100;

/** Every change of the register, newest first, fetched a page at a time. */
export class History {
  entries = $state.raw<readonly HistoryEntry[]>([]);
  hasMore = $state(false);
  readonly #client: Client;
  readonly #notices: Notices;

  constructor(client: Client, notices: Notices) {
    this.#client = client;
    this.#notices = notices;
  }

  async load(): Promise<void> {
    const page = await this.#notices.attempt(() => ask(this.#client, 'history', { limit: PAGE, beforeId: null }));
    if (page === undefined) return;
    this.entries = page;
    this.hasMore = page.length === PAGE;
  }

  async more(): Promise<void> {
    const beforeId = this.entries.at(-1)?.id ?? null;
    const page = await this.#notices.attempt(() => ask(this.#client, 'history', { limit: PAGE, beforeId }));
    if (page === undefined) return;
    this.entries = [...this.entries, ...page];
    this.hasMore = page.length === PAGE;
  }
}

export interface FieldChange {
  readonly field: string;
  readonly before: string;
  readonly after: string;
}

/** The fields in which two kept rows differ; a row that is not there counts as empty. */
export function fieldChanges(before: string | null, after: string | null): readonly FieldChange[] {
  const [from, to] = [fields(before), fields(after)];
  const names = [...new Set([...Object.keys(from), ...Object.keys(to)])];
  return names
    .map((field) => ({ field, before: shown(from[field]), after: shown(to[field]) }))
    .filter((change) => change.before !== change.after);
}

function fields(json: string | null): Readonly<Record<string, unknown>> {
  if (json === null) return {};
  try {
    const value: unknown = JSON.parse(json);
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : { value };
  } catch {
    return { value: json };
  }
}

function shown(value: unknown): string {
  if (value === undefined || value === null || value === '') return '';
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text.length > 80 ? `${text.slice(0, 77)}\u2026` : text;
}
