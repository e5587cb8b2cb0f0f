import type { BuildState } from '../../model/build-state.ts';
import type { Disposition, DispositionScope, DispositionStanding } from '../../model/disposition.ts';

/** Where an acceptance is asked for. */
export interface Asked {
  readonly mode: string | null;
  readonly band: string;
  readonly point: string | null;
  readonly temperatureC: number | null;
}

/** The build that is judged, as acceptances see it. */
export interface JudgedBuild {
  readonly states: readonly BuildState[];
  readonly stateId: number;
  /** ISO 8601 date. */
  readonly today: string;
}

/**
 * Does an acceptance hold for this build at all, leaving aside what it accepts? Its serials must be in the build, its first and last
 * state must bracket the judged one, its day must not be over.
 */
export function standingOf(
  disposition: Disposition,
  build: JudgedBuild,
): { standing: DispositionStanding; why: string } | null {
  const { scope, fromStateId, untilStateId, expiresOn } = disposition;
  const notThis = (why: string) => ({ standing: 'not this build' as const, why });
  if (expiresOn !== null && expiresOn.slice(0, 10) < build.today.slice(0, 10))
    return { standing: 'expired', why: `It held until ${expiresOn.slice(0, 10)}.` };
  const line = lineOf(build.stateId, build.states);
  if (fromStateId !== null && !line.includes(fromStateId))
    return notThis('It holds from a state on that this one does not come from.');
  if (untilStateId !== null && line.slice(0, -1).includes(untilStateId))
    return notThis('It held until an earlier state.');
  const serials = build.states.find(({ id }) => id === build.stateId)?.configuration.map(({ serial }) => serial) ?? [];
  if (scope.serials.length > 0 && !scope.serials.some((serial) => serials.includes(serial)))
    return notThis(`It holds for ${scope.serials.join(', ')}, which is not in this build.`);
  return null;
}

/** Ids of a state's line, oldest first, itself last. */
function lineOf(stateId: number, states: readonly BuildState[]): number[] {
  const line: number[] = [];
  for (let at: number | null = stateId; at !== null && !line.includes(at);) {
    line.unshift(at);
    at = states.find(({ id }) => id === at)?.parentId ?? null;
  }
  return line;
}

/** Does the scope take in what is asked? What a scope leaves open holds everywhere; what nobody stated is taken in only there. */
export function scopeHolds(scope: DispositionScope, asked: Asked): boolean {
  const lists: readonly (readonly [readonly string[], string | null])[] = [
    [scope.modes, asked.mode],
    [scope.bands, asked.band],
    [scope.points, asked.point],
  ];
  if (lists.some(([list, value]) => list.length > 0 && (value === null || !list.some((one) => sameWord(one, value)))))
    return false;
  const { temperature } = scope;
  if (temperature === null) return true;
  return (
    asked.temperatureC !== null && temperature.lowC <= asked.temperatureC && asked.temperatureC <= temperature.highC
  );
}

/** Names of modes and points are compared without regard to case and outer blanks. */
export function sameWord(a: string, b: string): boolean {
  return a.trim().toLowerCase() === b.trim().toLowerCase();
}
