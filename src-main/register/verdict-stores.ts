import type { Database } from 'better-sqlite3';
import { checkLimitLine } from '../model/check-limit-line.ts';
import type { Disposition } from '../model/disposition.ts';
import type { LimitLine } from '../model/limit-line.ts';
import type { Requirement } from '../model/requirement.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore, type Wrong } from './entity-store.ts';
import { isThere } from './rests-on.ts';

export type KeptLimit = LimitLine & { readonly id: number };

/** Own limit lines; the built-in ones are part of the program. A requirement may rest on one by its name. */
export function limitStore(db: Database, log: ChangeLog): EntityStore<KeptLimit> {
  return new EntityStore<KeptLimit>(db, log, {
    subject: 'limit_line',
    columns: () => ({}),
    nameOf: (line) => line.name,
    wrongWith: (line, id) =>
      fieldIsTaken(db, 'limit_line', 'name', line.name, id)
        ? { found: 'this name a second time', expected: 'each limit by its own name', wayOut: 'Rename it.' }
        : checkLimitLine(line),
    restsOn: (id) => {
      const resting = db
        .prepare(
          `SELECT count(*) FROM requirement, limit_line WHERE limit_line.id = ? AND requirement.gone = 0
            AND json_extract(requirement.body, '$.limit') = json_extract(limit_line.body, '$.name')`,
        )
        .pluck()
        .get(id) as number;
      return resting === 0 ? null : `${resting} requirement${resting === 1 ? '' : 's'} resting on it`;
    },
  });
}

/** Requirements by the team's own IDs. */
export function requirementStore(db: Database, log: ChangeLog): EntityStore<Requirement> {
  return new EntityStore<Requirement>(db, log, {
    subject: 'requirement',
    columns: () => ({}),
    nameOf: (requirement) => requirement.code,
    wrongWith: (requirement, id) => wrongRequirement(db, requirement, id),
    restsOn: () => null,
  });
}

function wrongRequirement(
  db: Database,
  { code, demand, temperatures }: Omit<Requirement, 'id'>,
  id: number | null,
): Wrong | null {
  if (fieldIsTaken(db, 'requirement', 'code', code, id))
    return {
      found: 'this ID a second time',
      expected: 'each requirement by its own ID',
      wayOut: 'Give it another ID.',
    };
  const reversed = temperatures.find(({ lowC, highC }) => !(lowC <= highC));
  if (reversed !== undefined)
    return {
      found: `${reversed.lowC} … ${reversed.highC} °C`,
      expected: 'a range from low to high',
      wayOut: 'Exchange the two ends.',
    };
  if (demand.kind !== 'clean-channels') return null;
  const { atLeast, as } = demand;
  if (as === 'share' ? atLeast > 0 && atLeast <= 1 : Number.isInteger(atLeast) && atLeast >= 1) return null;
  return {
    found: `${atLeast} ${as === 'share' ? 'as a share' : 'channels'}`,
    expected: as === 'share' ? 'a share above 0, at most 1' : 'a whole number from 1',
    wayOut: 'Say how many channels must be clean.',
  };
}

/** What was accepted in writing. */
export function dispositionStore(db: Database, log: ChangeLog): EntityStore<Disposition> {
  return new EntityStore<Disposition>(db, log, {
    subject: 'disposition',
    columns: ({ fromStateId, untilStateId }) => ({ from_state_id: fromStateId, until_state_id: untilStateId }),
    nameOf: ({ subject }) =>
      subject.kind === 'line'
        ? `of ${subject.source === null ? '' : `${subject.source} × ${subject.harmonic}, `}${(subject.frequencyHz / 1e6).toFixed(6)} MHz`
        : subject.kind === 'not-exercised'
          ? `that ${subject.source} does not run`
          : `of ${subject.item} ${subject.fromSerial} for ${subject.toSerial}`,
    wrongWith: (value) => wrongDisposition(db, value),
    restsOn: () => null,
  });
}

function wrongDisposition(
  db: Database,
  { reason, approver, fromStateId, untilStateId, scope: { temperature } }: Omit<Disposition, 'id'>,
): Wrong | null {
  if (reason.trim() === '')
    return { found: 'no reason', expected: 'why it is accepted', wayOut: 'Write the reason a reviewer will read.' };
  if (approver.trim() === '')
    return { found: 'no approver', expected: 'who accepts it', wayOut: 'Name the one who answers for it.' };
  for (const id of [fromStateId, untilStateId])
    if (id !== null && !isThere(db, 'state', id))
      return { found: `no state ${id}`, expected: 'a state that is there', wayOut: 'Choose another.' };
  if (temperature !== null && !(temperature.lowC <= temperature.highC))
    return {
      found: `${temperature.lowC} … ${temperature.highC} °C`,
      expected: 'a range from low to high',
      wayOut: 'Exchange the two ends.',
    };
  return null;
}

/** True where another present row has the same value in a field of its body. */
function fieldIsTaken(
  db: Database,
  table: 'limit_line' | 'requirement',
  field: 'name' | 'code',
  value: string,
  id: number | null,
): boolean {
  return (
    db
      .prepare(`SELECT 1 FROM ${table} WHERE gone = 0 AND id IS NOT ? AND json_extract(body, '$.${field}') = ?`)
      .get(id, value) !== undefined
  );
}
