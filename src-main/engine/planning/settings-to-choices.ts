import { InputError } from '../../model/input-problem.ts';
import type { SourceSetting } from '../../model/plan.ts';
import type { Assignment, Choice, PlanProblem } from './plan-problem.ts';

/**
 * Settings as given from outside (a plan that was kept, a source moved by hand) as an assignment; sources that are not named stay as
 * they are today.
 *
 * @throws InputError for an unknown source, a frequency that is none, or locks in a circle
 */
export function assignmentOf(problem: PlanProblem, settings: readonly SourceSetting[]): Assignment {
  const places = new Map(problem.sources.map(({ designator }, place) => [designator, place]));
  const assignment: Choice[] = [...problem.today];
  for (const setting of settings) {
    const place = places.get(setting.source);
    if (place === undefined) throw wrong(setting, setting.source, 'a source of the register', 'Leave it out.');
    const to = setting.lockedTo === null ? null : places.get(setting.lockedTo);
    if (to === undefined)
      throw wrong(setting, `a lock to ${setting.lockedTo}`, 'a source of the register', 'Name another.');
    if (to === null) {
      if (!(setting.nominalHz > 0 && Number.isFinite(setting.nominalHz)))
        throw wrong(setting, `${setting.nominalHz} Hz`, 'a frequency above zero', 'Write it in hertz.');
      assignment[place] = { kind: 'free', frequencyHz: setting.nominalHz };
      continue;
    }
    const [numerator, denominator] = [setting.lockNumerator ?? 1, setting.lockDenominator ?? 1];
    if (!(numerator >= 1 && denominator >= 1 && Number.isInteger(numerator) && Number.isInteger(denominator)))
      throw wrong(setting, `the ratio ${numerator} / ${denominator}`, 'whole numbers from 1', 'Correct the ratio.');
    assignment[place] = { kind: 'locked', to, numerator, denominator };
  }
  for (const [place, { designator }] of problem.sources.entries()) {
    const seen = new Set<number>();
    for (let at = place, choice = assignment[at]!; choice.kind === 'locked'; at = choice.to, choice = assignment[at]!) {
      if (seen.has(at))
        throw new InputError({
          file: 'settings',
          place: designator,
          found: 'locks in a circle',
          expected: 'a chain that ends at a source that runs freely',
          wayOut: 'Free one of them.',
        });
      seen.add(at);
    }
  }
  return assignment;
}

function wrong({ source }: SourceSetting, found: string, expected: string, wayOut: string): InputError {
  return new InputError({ file: 'settings', place: source, found, expected, wayOut });
}
