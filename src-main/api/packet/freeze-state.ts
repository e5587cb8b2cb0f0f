import type { Freeze } from '../../model/freeze.ts';
import type { PacketContents } from '../../model/packet.ts';
import { losslessJson } from '../../report/packet/lossless-json.ts';
import type { FrozenRow } from '../../register/freeze-store.ts';
import type { Register } from '../../register/register.ts';
import { Refused } from '../api-problem.ts';
import { contentsDifferences } from './contents-differences.ts';
import { contentsNow, frozenContents } from './register-source.ts';

export interface FreezeRequest {
  readonly stateId: number;
  readonly note: string;
  readonly by: string;
  readonly now: Date;
  readonly engineVersion: string;
}

/** Why a freeze at this moment is refused, or null: the date it bears must not lie before what it holds. */
export function clockProblem(register: Register, now: Date): string | null {
  const newest = Math.max(
    Date.parse(register.facts().keptAt) || 0,
    ...register.freezes.list().map(({ at }) => Date.parse(at)),
  );
  if (now.getTime() >= newest) return null;
  return `The clock of this machine says ${now.toISOString()}, but the register was last changed at ${new Date(newest).toISOString()}: one of them runs wrong. Set the clock, then freeze.`;
}

/** What differs from the latest revision; empty where there is none. */
export function differencesFromLast(register: Register, contents: PacketContents): string[] {
  const last = register.freezes.list().at(-1);
  return last === undefined ? [] : contentsDifferences(frozenContents(register, last), contents);
}

/**
 * Sets a state down for the review, with all it came from.
 *
 * @throws Refused where the clock runs behind the register, or the state stands frozen already with nothing changed since
 */
export function freezeState(register: Register, { stateId, note, by, now, engineVersion }: FreezeRequest): Freeze {
  const behind = clockProblem(register, now);
  if (behind !== null) throw new Refused(behind);
  const seen = newestEntry(register);
  const contents = contentsNow(register, stateId, engineVersion);
  const state = contents.states.find(({ id }) => id === stateId);
  if (state === undefined) throw new Refused(`There is no state ${stateId} in this register.`);
  const differs = differencesFromLast(register, contents);
  const last = register.freezes.list().at(-1);
  if (last?.stateId === stateId && last.reopened === null && differs.length === 0)
    throw new Refused(`State ${state.name} stands frozen as revision ${last.revision}, and nothing has changed since.`);
  const freeze = { stateId, stateName: state.name, note, by, at: now.toISOString(), differs, reopened: null };
  const rows = rowsOf(register, contents);
  return register.step(() => {
    // what was read above must be what is frozen
    if (newestEntry(register) !== seen)
      throw new Refused('Another window changed the register meanwhile: freeze again.');
    return register.freezes.add(freeze, losslessJson(contents), rows);
  });
}

function newestEntry(register: Register): number {
  return register.history(1, null)[0]?.id ?? 0;
}

/** Held as they are, all of them: they belong to the register and not to a state. */
const WHOLE = [
  'source',
  'band',
  'requirement',
  'limit_line',
  'disposition',
  'calibration',
  'chain',
  'transfer',
] as const satisfies readonly FrozenRow['subject'][];

function rowsOf(register: Register, contents: PacketContents): FrozenRow[] {
  const rows = <T>(subject: FrozenRow['subject'], list: readonly T[], id: (entry: T) => number): FrozenRow[] =>
    list.map((entry) => ({ subject, id: id(entry) }));
  const byId = ({ id }: { readonly id: number }): number => id;
  const usedPoints = contents.points.filter(({ id }) => contents.captures.some(({ pointId }) => pointId === id));
  return [
    ...rows('state', contents.states, byId),
    ...rows('capture', contents.captures, byId),
    ...rows('fix', contents.fixes, byId),
    ...rows('event', contents.events, byId),
    ...rows('decision', contents.decisions, byId),
    ...rows('point', usedPoints, byId),
    ...WHOLE.flatMap((subject) => rows(subject, register.freezes.present(subject), (id) => id)),
  ];
}
