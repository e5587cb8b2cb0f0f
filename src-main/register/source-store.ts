import type { Database } from 'better-sqlite3';
import { checkRegister } from '../model/check-source.ts';
import type { Source } from '../model/source.ts';
import type { ChangeLog } from './change-log.ts';
import { RegisterError } from './register-error.ts';

export interface StoredSource {
  readonly source: Source;
  readonly letter: string;
  readonly order: number;
  readonly revision: number;
}

interface Row {
  id: number;
  designator: string;
  letter: string;
  place: number;
  revision: number;
  body: string;
}

/** A, B … Z, AA, AB …: the letter of the n-th source ever entered. */
export function letterOf(place: number): string {
  let n = place;
  let text = '';
  do {
    text = String.fromCharCode(65 + (n % 26)) + text;
    n = Math.floor(n / 26) - 1;
  } while (n >= 0);
  return text;
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

  private rows(): Row[] {
    return this.db.prepare('SELECT * FROM source WHERE gone = 0 ORDER BY place').all() as Row[];
  }

  /** Sum of all revisions: grows with every change of any source, so results can say what they rest on. */
  basis(): string {
    const row = this.db.prepare('SELECT count(*) AS n, total(revision) AS r, total(gone) AS g FROM source').get() as {
      n: number;
      r: number;
      g: number;
    };
    return `${row.n}.${row.r}.${row.g}`;
  }

  /**
   * Adds an entry, or changes the one that is named `replaces`.
   * @throws RegisterError `refused` where the entry contradicts itself or the rest; `not-found`
   */
  put(source: Source, replaces: string | null): StoredSource {
    return this.log.step(() => {
      const rows = this.rows();
      const old = replaces === null ? undefined : rows.find((row) => row.designator === replaces);
      if (replaces !== null && old === undefined) throw missing(replaces);
      const others = rows.filter((row) => row !== old).map((row) => JSON.parse(row.body) as Source);
      // a renamed source takes the ties of others along
      const renamed = old !== undefined && old.designator !== source.designator;
      const tied = renamed ? others.map((other) => retie(other, old.designator, source.designator)) : others;
      const [problem] = checkRegister(source, tied);
      if (problem !== undefined)
        throw new RegisterError('refused', {
          file: 'the source list',
          place: `${source.designator}, ${problem.field}`,
          found: problem.found,
          expected: problem.expected,
          wayOut: problem.wayOut,
        });
      const key = `source ${source.designator}`;
      if (old === undefined) {
        const place = (this.db.prepare('SELECT coalesce(max(place), -1) FROM source').pluck().get() as number) + 1;
        const columns = { designator: source.designator, letter: letterOf(place), place };
        const id = this.log.add('source', source, columns, () => key, `added source ${source.designator}`);
        return stored(this.row(id));
      }
      const columns = { designator: source.designator, letter: old.letter, place: old.place };
      this.log.change(
        'source',
        old.id,
        { body: source, columns, gone: false },
        key,
        `changed source ${source.designator}`,
      );
      if (renamed) for (const [i, other] of tied.entries()) if (other !== others[i]) this.put(other, other.designator);
      return stored(this.row(old.id));
    });
  }

  /** @throws RegisterError `refused` where it feeds or clocks others */
  remove(designator: string): void {
    this.log.step(() => {
      const rows = this.rows();
      const row = rows.find((entry) => entry.designator === designator);
      if (row === undefined) throw missing(designator);
      for (const entry of rows) {
        const other = JSON.parse(entry.body) as Source;
        const tie = other.fedBy === designator ? 'feeds' : other.lock?.to === designator ? 'clocks' : null;
        if (tie !== null)
          throw new RegisterError('refused', {
            file: 'the source list',
            place: designator,
            found: `a source that ${tie} ${other.designator}`,
            expected: 'a source that no other rests on',
            wayOut: `Change ${other.designator} first.`,
          });
      }
      this.log.remove('source', row.id, `source ${designator}`, `removed source ${designator}`);
    });
  }

  /** Adds or changes all of these in one step; with `replaceAll` every other entry goes. The list must be sound by itself. */
  import(sources: readonly Source[], replaceAll: boolean): void {
    this.log.step(() => {
      const present = new Map(this.rows().map((row) => [row.designator, row]));
      if (replaceAll)
        for (const [designator, row] of present)
          if (!sources.some((source) => source.designator === designator))
            this.log.remove('source', row.id, `source ${designator}`, `removed source ${designator}`);
      // masters before what is tied to them
      const waiting = [...sources];
      const here = new Set(this.rows().map((row) => row.designator));
      for (let moved = true; moved && waiting.length > 0;) {
        moved = false;
        for (const source of [...waiting]) {
          const ready = [source.fedBy, source.lock?.to ?? null].every((to) => to === null || here.has(to));
          if (!ready) continue;
          this.put(source, here.has(source.designator) ? source.designator : null);
          here.add(source.designator);
          waiting.splice(waiting.indexOf(source), 1);
          moved = true;
        }
      }
      if (waiting.length > 0) this.put(waiting[0]!, null); // names what is wrong with it
    });
  }

  private row(id: number): Row {
    return this.db.prepare('SELECT * FROM source WHERE id = ?').get(id) as Row;
  }
}

function stored(row: Row): StoredSource {
  return { source: JSON.parse(row.body) as Source, letter: row.letter, order: row.place, revision: row.revision };
}

function retie(source: Source, from: string, to: string): Source {
  if (source.fedBy !== from && source.lock?.to !== from) return source;
  return {
    ...source,
    fedBy: source.fedBy === from ? to : source.fedBy,
    lock: source.lock?.to === from ? { ...source.lock, to } : source.lock,
  };
}

function missing(designator: string): RegisterError {
  return new RegisterError('not-found', {
    file: 'the source list',
    place: designator,
    found: 'no such source',
    expected: 'a designator of this register',
    wayOut: 'It was removed or renamed, perhaps in another window: look again.',
  });
}
