import type { FollowInput } from '../../engine/follow-states.ts';
import type { JudgedCapture, JudgeInput } from '../../engine/judge-build.ts';
import { BUILT_IN_LIMITS } from '../../engine/verdict/published/built-in-limits.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../../model/compare-settings.ts';
import type { LimitLine } from '../../model/limit-line.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../model/verdict-settings.ts';
import type { Register } from '../../register/register.ts';
import { withoutId } from './register-tables.ts';

/** Every limit line that a requirement may name: own ones first, so that an own line of a built-in's name wins. */
export function limitsOf(register: Register): readonly LimitLine[] {
  return [...register.limits.list().map(withoutId), ...BUILT_IN_LIMITS];
}

/** What judging one state of a register takes. `today` is an ISO 8601 date. */
export function judgeInput(
  register: Register,
  stateId: number,
  captures: readonly JudgedCapture[],
  today: string,
): Omit<JudgeInput, 'onProgress'> {
  return {
    stateId,
    states: register.states.list(),
    fixes: register.fixes.list(),
    events: register.events.list(),
    captures,
    sources: register.sources.list().map(({ source }) => source),
    bands: register.bands.list().map(withoutId),
    limits: limitsOf(register),
    requirements: register.requirements.list(),
    dispositions: register.dispositions.list(),
    settings: DEFAULT_VERDICT_SETTINGS,
    today,
  };
}

/** What following lines through the states of a register takes. */
export function followInput(register: Register, captures: readonly JudgedCapture[]): Omit<FollowInput, 'onProgress'> {
  return {
    captures,
    states: register.states.list(),
    fixes: register.fixes.list(),
    sources: register.sources.list().map(({ source }) => source),
    bands: register.bands.list().map(withoutId),
    compareSettings: DEFAULT_COMPARE_SETTINGS,
    settings: DEFAULT_VERDICT_SETTINGS,
  };
}
