import type { Database } from 'better-sqlite3';
import type { Disposition } from '../model/disposition.ts';
import type { Requirement } from '../model/requirement.ts';
import type { ChangeLog } from './change-log.ts';

/**
 * Where requirements and acceptances name a band or a measuring point. Renamed, it is renamed there too: an acceptance that no longer
 * finds its band would lapse, and a requirement would demand what nobody can show. A requirement's band or point is not removed.
 */
type Scope = 'bands' | 'points';

/** What rests on this name, in words, or null. */
export function demandedBy(db: Database, scope: Scope, name: string): string | null {
  const codes = db
    .prepare(
      `SELECT json_extract(body, '$.code') FROM requirement WHERE gone = 0
        AND EXISTS (SELECT 1 FROM json_each(body, '$.${scope}') WHERE value = ?) ORDER BY id`,
    )
    .pluck()
    .all(name) as string[];
  return codes.length === 0 ? null : `${codes.join(', ')} resting on it`;
}

/** Puts the new name wherever the old one stands; part of the caller's step. */
export function renameInScopes(db: Database, log: ChangeLog, scope: Scope, from: string, to: string): void {
  const renamed = (names: readonly string[]): readonly string[] => names.map((name) => (name === from ? to : name));
  for (const subject of ['requirement', 'disposition'] as const)
    for (const id of db.prepare(`SELECT id FROM ${subject} WHERE gone = 0 ORDER BY id`).pluck().all() as number[]) {
      const image = log.read(subject, id)!;
      const body = image.body as Requirement & Disposition;
      const changed =
        subject === 'requirement'
          ? { ...body, [scope]: renamed(body[scope]) }
          : { ...body, scope: { ...body.scope, [scope]: renamed(body.scope[scope]) } };
      log.change(
        subject,
        id,
        { ...image, body: changed },
        `${subject} ${id}`,
        `renamed ${from} to ${to} in ${subject} ${id}`,
      );
    }
}
