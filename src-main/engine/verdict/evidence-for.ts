import type { BuildState, Fix } from '../../model/build-state.ts';
import type { Disposition } from '../../model/disposition.ts';
import type { TemperatureRange } from '../../model/requirement.ts';
import { formatDecimal } from '../../units/format.ts';
import type { Obstacle } from './allowance.ts';
import { matches } from './coverage-matrix.ts';
import { scopeHolds, standingOf } from './dispositions.ts';
import { earlierStatesOf, type ChangedItem } from './inherited-evidence.ts';
import type { Reading } from './judged-capture.ts';

/** What speaks for one set of conditions. */
export interface Evidence {
  readonly readings: readonly Reading[];
  /** Acceptances without which inherited captures would not count. */
  readonly dispositionIds: readonly number[];
  /** Why there is none. */
  readonly missing: Obstacle;
}

interface Register {
  readonly stateId: number;
  readonly states: readonly BuildState[];
  readonly fixes: readonly Fix[];
  readonly dispositions: readonly Disposition[];
  readonly today: string;
}

/**
 * Captures of the judged state; where it has none in these conditions, those of the nearest earlier state that has, if nothing was fixed
 * since and no item was changed, or every changed item was accepted.
 */
export function evidenceFor(
  asked: {
    readonly mode: string | null;
    readonly temperature: TemperatureRange | null;
    readonly point: string | null;
    readonly band: string;
  },
  readings: readonly Reading[],
  register: Register,
): Evidence {
  const { stateId, states, fixes } = register;
  const ofState = (id: number) =>
    readings.filter((reading) => reading.capture.stateId === id && matches(reading, asked));
  const none = (reason: Obstacle['reason'], why: string): Evidence => ({
    readings: [],
    dispositionIds: [],
    missing: { reason, why },
  });
  const own = ofState(stateId);
  if (own.length > 0) return { ...none('not measured', ''), readings: own };
  for (const earlier of earlierStatesOf(stateId, states, fixes)) {
    const inherited = ofState(earlier.stateId);
    if (inherited.length === 0) continue;
    const name = states.find(({ id }) => id === earlier.stateId)?.name ?? '';
    if (earlier.fixes.length > 0)
      return none('not measured', `the last captures so taken are of ${name}; since then: ${earlier.fixes.join('; ')}`);
    const accepting = earlier.changed.map((changed) => acceptanceOf(changed, asked, inherited, register));
    const open = earlier.changed.filter((_, i) => accepting[i] === undefined);
    if (open.length > 0)
      return none(
        'changed item',
        `the captures are of ${name}; since then ${open.map(changedText).join(', ')}, and nobody accepted that the evidence still counts`,
      );
    return {
      ...none('not measured', ''),
      readings: inherited,
      dispositionIds: accepting.map((one) => one!.id),
    };
  }
  return none('not measured', `no capture was taken ${conditionsText(asked)}`);
}

function acceptanceOf(
  { item, fromSerial, toSerial }: ChangedItem,
  asked: { readonly mode: string | null; readonly point: string | null; readonly band: string },
  [first]: readonly Reading[],
  register: Register,
): Disposition | undefined {
  return register.dispositions.find(
    (one) =>
      one.subject.kind === 'changed-item' &&
      one.subject.item === item &&
      one.subject.fromSerial === fromSerial &&
      one.subject.toSerial === toSerial &&
      standingOf(one, register) === null &&
      scopeHolds(one.scope, { ...asked, temperatureC: first?.capture.triaged.condition?.temperatureC ?? null }),
  );
}

export function changedText({ item, fromSerial, toSerial }: ChangedItem): string {
  if (fromSerial === '') return `${item} ${toSerial} was added`;
  if (toSerial === '') return `${item} ${fromSerial} was taken out`;
  return `${item} ${fromSerial} was changed for ${toSerial}`;
}

function conditionsText({ mode, temperature, point }: Parameters<typeof evidenceFor>[0]): string {
  const parts = [
    point === null ? null : `at ${point}`,
    mode === null ? null : `in mode ${mode}`,
    temperature === null ? null : `at ${formatDecimal(temperature.lowC)} to ${formatDecimal(temperature.highC)} °C`,
  ].filter((part) => part !== null);
  return parts.length === 0 ? 'of this state' : `${parts.join(', ')} of this state`;
}
