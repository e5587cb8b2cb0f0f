import type { Database } from 'better-sqlite3';
import type { AdoptedPlan } from '../model/adopted-plan.ts';
import type { Fix } from '../model/build-state.ts';
import type { Decision } from '../model/decision.ts';
import type { Disposition } from '../model/disposition.ts';
import type { ChangeLog, RowImage, Subject } from './change-log.ts';

/**
 * Where the register names sources by their designator, beside the sources themselves: fixes, decisions, acceptances, adopted plans,
 * and the conditions of captures. A renamed source is renamed there too; one that a fix, a decision or an acceptance names is not
 * removed.
 */

/** What names this source, in words, or null. */
export function namedBy(db: Database, log: ChangeLog, designator: string): string | null {
  for (const { image } of present(db, log, 'fix')) {
    const fix = image.body as Fix;
    if (fix.sources.includes(designator)) return `the fix “${fix.change}” was meant for it`;
  }
  for (const { image } of present(db, log, 'decision')) {
    const decision = image.body as Decision;
    if (decision.source === designator) return `a decision of ${decision.by} names it`;
  }
  for (const { image } of present(db, log, 'disposition')) {
    const { subject, approver } = image.body as Disposition;
    if ('source' in subject && subject.source === designator) return `an acceptance by ${approver} names it`;
  }
  return null;
}

/** Puts the new designator wherever the old one stands; part of the caller's step. */
export function renameEverywhere(db: Database, log: ChangeLog, from: string, to: string): void {
  const inList = (names: readonly string[] | null): readonly string[] | null =>
    names?.map((name) => (name === from ? to : name)) ?? null;
  const change = (subject: Subject, renamed: (body: unknown) => unknown): void => {
    for (const { id, image } of present(db, log, subject))
      log.change(
        subject,
        id,
        { ...image, body: renamed(image.body) },
        `${subject} ${id}`,
        `renamed ${from} to ${to} in ${subject} ${id}`,
      );
  };
  change('fix', (body) => ({ ...(body as Fix), sources: inList((body as Fix).sources) }));
  change('decision', (body) => ((body as Decision).source === from ? { ...(body as Decision), source: to } : body));
  change('disposition', (body) => {
    const { subject } = body as Disposition;
    const isIt = 'source' in subject && subject.source === from;
    return isIt ? { ...(body as Disposition), subject: { ...subject, source: to } } : body;
  });
  change('plan', (body) => {
    const { basis, plan } = body as AdoptedPlan;
    const named = (name: string): string => (name === from ? to : name);
    const settings = plan.settings.map((setting) => ({
      ...setting,
      source: named(setting.source),
      lockedTo: setting.lockedTo === null ? null : named(setting.lockedTo),
    }));
    const sources = plan.sources.map((source) => ({ ...source, source: named(source.source) }));
    return {
      ...(body as object),
      basis: { ...basis, leftOut: inList(basis.leftOut) },
      plan: { ...plan, settings, sources },
    };
  });
  change('capture', (body) => {
    const { condition } = body as {
      condition: { sourcesOn: readonly string[] | null; sourcesOff: readonly string[] | null };
    };
    const renamed = {
      ...condition,
      sourcesOn: inList(condition.sourcesOn),
      sourcesOff: inList(condition.sourcesOff),
    };
    return { ...(body as object), condition: renamed };
  });
}

function present(db: Database, log: ChangeLog, subject: Subject): { id: number; image: RowImage }[] {
  const ids = db.prepare(`SELECT id FROM ${subject} WHERE gone = 0 ORDER BY id`).pluck().all() as number[];
  return ids.map((id) => ({ id, image: log.read(subject, id)! }));
}
