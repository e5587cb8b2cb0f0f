import type { Database } from 'better-sqlite3';
import type { HistoryEntry } from '../model/history-entry.ts';
import { checkSource, checkSources, type SourceProblem } from '../model/check-source.ts';
import type { Source } from '../model/source.ts';
import type { ChangeLog } from './change-log.ts';
import { stale } from './entity-store.ts';
import { fromJson } from './json.ts';
import { RegisterError } from './register-error.ts';
import { letterOf } from './source-letter.ts';
import { namedBy, renameEverywhere } from './source-names.ts';

export interface StoredSource {
  readonly source: Source;
  readonly letter: string;
  readonly order: number;
  readonly revision: number;
}

interface Row {
  readonly id: number;
  readonly letter: string;
  readonly place: number;
  readonly revision: number;
  readonly source: Source;
}

/** The switching sources. Letters and places are given once and never again, also after a removal. */
export class SourceStore {
  private readonly db: Database;
  private readonly log: ChangeLog;
  constructor(db: Database, log: ChangeLog) {
    this.db = db;
    this.log = log;
  }

  list(): StoredSource[] {
    return this.rows().map(stored);
  }

  /** Grows with every change of any source, so that results can say what they rest on. */
  basis(): string {
    const row = this.db.prepare('SELECT count(*) AS n, total(revision) AS r FROM source').get() as {
      n: number;
      r: number;
    };
    return `${row.n}.${row.r}`;
  }

  /** All that happened to the source that now bears this designator, oldest first. @throws RegisterError `not-found` */
  revisionsOf(designator: string): HistoryEntry[] {
    return this.log.ofRow('source', this.mustExist(designator).id);
  }

  /**
   * Adds an entry, or changes the one that is named `replaces`; a renamed source keeps all that rests on it.
   *
   * @param revision the revision the change started from; left out: the change is made whatever happened since
   * @throws RegisterError `refused` where the entry contradicts itself or the rest; `not-found`, `stale`
   */
  put(source: Source, replaces: string | null, revision?: number): StoredSource {
    return this.log.step(() => {
      const old = replaces === null ? undefined : this.mustExist(replaces);
      if (old !== undefined && revision !== undefined && old.revision !== revision) throw stale(`source ${replaces}`);
      const others = this.rows().filter((row) => row.id !== old?.id);
      const from = old?.source.designator ?? source.designator;
      const tied = others.map((row) => ({ row, source: retied(row.source, from, source.designator) }));
      mustBeSound(
        source,
        tied.map((other) => other.source),
      );
      if (old === undefined) return this.add(source);
      this.change(old, source);
      for (const other of tied) this.change(other.row, other.source);
      if (from !== source.designator) renameEverywhere(this.db, this.log, from, source.designator);
      return stored(this.mustExist(source.designator));
    });
  }

  /** @throws RegisterError `refused` where it feeds or clocks others, or a fix or decision names it; `not-found` */
  remove(designator: string): void {
    this.log.step(() => {
      const row = this.mustExist(designator);
      const child = this.rows().find(({ source }) => source.fedBy === designator || source.lock?.to === designator);
      if (child !== undefined)
        throw refused(
          designator,
          `a source that ${child.source.fedBy === designator ? 'feeds' : 'clocks'} ${child.source.designator}`,
          'a source that no other rests on',
          `Change ${child.source.designator} first.`,
        );
      this.takeOut(row);
    });
  }

  /**
   * Adds or changes all of these in one step; with `replaceAll` every other entry goes. The list that results must be sound as a
   * whole: else nothing changes.
   *
   * @throws RegisterError `refused`
   */
  import(sources: readonly Source[], replaceAll: boolean): void {
    this.log.step(() => {
      const present = new Map(this.rows().map((row) => [row.source.designator, row]));
      const given = new Set(sources.map(({ designator }) => designator));
      const absent = [...present.values()].filter(({ source }) => !given.has(source.designator));
      const all = [...(replaceAll ? [] : absent.map(({ source }) => source)), ...sources];
      const [problem] = checkSources(all);
      if (problem !== undefined) throw unsound(all[problem.index]!, problem);
      if (replaceAll) for (const row of absent) this.takeOut(row);
      for (const source of sources) {
        const row = present.get(source.designator);
        if (row === undefined) this.add(source);
        else this.change(row, source);
      }
    });
  }

  private add(source: Source): StoredSource {
    const place = (this.db.prepare('SELECT coalesce(max(place), -1) FROM source').pluck().get() as number) + 1;
    const columns = { designator: source.designator, letter: letterOf(place), place };
    const { designator } = source;
    this.log.add('source', source, columns, () => `source ${designator}`, `added source ${designator}`);
    return stored(this.mustExist(designator));
  }

  private change(old: Row, source: Source): void {
    const columns = { designator: source.designator, letter: old.letter, place: old.place };
    this.log.change(
      'source',
      old.id,
      { body: source, columns, gone: false },
      `source ${source.designator}`,
      `changed source ${source.designator}`,
    );
  }

  private takeOut(row: Row): void {
    const { designator } = row.source;
    const reason = namedBy(this.db, this.log, designator);
    if (reason !== null)
      throw refused(designator, reason, 'nothing that rests on it', 'Change that first, or keep the source.');
    this.log.remove('source', row.id, `source ${designator}`, `removed source ${designator}`);
  }

  private rows(): Row[] {
    const rows = this.db.prepare('SELECT * FROM source WHERE gone = 0 ORDER BY place').all();
    return (rows as (Row & { body: string })[]).map((row) => ({ ...row, source: fromJson<Source>(row.body) }));
  }

  private mustExist(designator: string): Row {
    const row = this.rows().find(({ source }) => source.designator === designator);
    if (row !== undefined) return row;
    throw new RegisterError('not-found', {
      file: 'the source list',
      place: designator,
      found: 'no such source',
      expected: 'a designator of this register',
      wayOut: 'It was removed or renamed, perhaps in another window: look again.',
    });
  }
}

function stored({ source, letter, place, revision }: Row): StoredSource {
  return { source, letter, order: place, revision };
}

function mustBeSound(source: Source, others: readonly Source[]): void {
  const [problem] = checkSource(source, others);
  if (problem !== undefined) throw unsound(source, problem);
}

function unsound({ designator }: Source, { field, found, expected, wayOut }: SourceProblem): RegisterError {
  return refused(`${designator}, ${field}`, found, expected, wayOut);
}

function refused(place: string, found: string, expected: string, wayOut: string): RegisterError {
  return new RegisterError('refused', { file: 'the source list', place, found, expected, wayOut });
}

function retied(source: Source, from: string, to: string): Source {
  if (source.fedBy !== from && source.lock?.to !== from) return source;
  return {
    ...source,
    fedBy: source.fedBy === from ? to : source.fedBy,
    lock: source.lock?.to === from ? { ...source.lock, to } : source.lock,
  };
}
