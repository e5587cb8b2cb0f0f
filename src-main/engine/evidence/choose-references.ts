import type { Condition } from '../../model/condition.ts';
import type { Source } from '../../model/source.ts';
import { statusLookup } from './source-status.ts';

export type ReferencePart = 'sources-off' | 'terminated' | 'attenuator' | 'switch-off' | 'drift' | 'none';

/** What another capture is good for, and why it is good for nothing. */
export interface ReferenceChoice {
  readonly as: ReferencePart;
  readonly why: string;
  /** Sources off there that are not off here. */
  readonly switchedOff: readonly string[];
}

interface Placed {
  readonly file: string;
  readonly condition: Condition | null;
}

/**
 * What each other capture can say of one, by its role and condition.
 *
 * The measuring point must not differ where both are stated. Captures of the item itself must be of the same build state where both are
 * stated (a fix changes levels). Of several references of one role those of the same state are taken, if there are any.
 */
export function chooseReferences(
  subject: Placed,
  others: readonly Placed[],
  sources: readonly Source[],
  driftRangeC: number,
): ReferenceChoice[] {
  const here = subject.condition;
  const roleHere = here?.role ?? 'item';
  const statusHere = statusLookup(here, sources);
  const differs = (a: string | null | undefined, b: string | null | undefined) => a != null && b != null && a !== b;
  const first = others.map(({ condition }): ReferenceChoice => {
    const role = condition?.role ?? 'item';
    const none = (why: string): ReferenceChoice => ({ as: 'none', why, switchedOff: [] });
    if (differs(here?.point, condition?.point)) return none(`taken at another measuring point (${condition!.point!})`);
    if (role === 'terminated')
      return { as: 'terminated', why: 'shows what the measuring kit makes by itself', switchedOff: [] };
    if (roleHere === 'terminated') return none('a capture with its input terminated shows nothing of the build');
    if (role === 'attenuated' || roleHere === 'attenuated') {
      if (role === roleHere || role === 'off' || roleHere === 'off')
        return none('two captures of which one is attenuated and the other shows the item are needed');
      if (differs(here?.state, condition?.state)) return none(`taken in another build state (${condition!.state!})`);
      return { as: 'attenuator', why: 'tells lines that arrive from lines made in the analyser', switchedOff: [] };
    }
    const status = statusLookup(condition, sources);
    const switchedOff = sources
      .map(({ designator }) => designator)
      .filter((designator) => status(designator) === 'off' && statusHere(designator) !== 'off');
    if (role === 'off') return { as: 'sources-off', why: 'shows what is there without the item', switchedOff };
    if (roleHere === 'off') return none('shows the item, which this capture does not');
    if (differs(here?.state, condition?.state)) return none(`taken in another build state (${condition!.state!})`);
    if (switchedOff.length > 0)
      return { as: 'switch-off', why: `shows the item with ${switchedOff.join(', ')} off`, switchedOff };
    const apartC = Math.abs((condition?.temperatureC ?? NaN) - (here?.temperatureC ?? NaN));
    if (apartC >= driftRangeC)
      return { as: 'drift', why: `shows the item at ${condition!.temperatureC!} °C`, switchedOff };
    if (differs(here?.load, condition?.load))
      return { as: 'drift', why: `shows the item with another load (${condition!.load!})`, switchedOff };
    return none('differs in nothing that tells causes apart');
  });
  const sameState = (i: number) => !differs(here?.state, others[i]!.condition?.state);
  return first.map((choice, i) => {
    if (choice.as !== 'sources-off' && choice.as !== 'terminated') return choice;
    if (sameState(i) || !first.some((other, j) => other.as === choice.as && sameState(j))) return choice;
    return { as: 'none', why: 'there is a reference of this role in the same build state', switchedOff: [] };
  });
}
