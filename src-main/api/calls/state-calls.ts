import type { Decision } from '../../model/decision.ts';
import type { Api } from '../contract.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import { mustBeThere } from '../steps/must-be-there.ts';
import { earlierStates } from '../steps/state-line.ts';

type StateCalls = Pick<
  Api,
  | 'stateList'
  | 'statePut'
  | 'stateRemove'
  | 'fixList'
  | 'fixPut'
  | 'fixRemove'
  | 'pointList'
  | 'pointPut'
  | 'pointRemove'
  | 'eventList'
  | 'eventPut'
  | 'decisionList'
  | 'decisionPut'
  | 'decisionPutMany'
>;

/** Build states, fixes between them, measuring points, environment events and decisions: kept as given, the register refuses what cannot be. */
export function stateCalls({ session }: ApiParts): StateCalls {
  /** Does a change, tells the page, and answers with what the change gave. */
  const change = <T>(subject: string, act: () => T): Promise<T> => {
    const result = act();
    session.changed([subject]);
    return Promise.resolve(result);
  };
  const register = () => session.register;
  const putDecision = ({ id, ...decision }: Parameters<Api['decisionPut']>[0]): Decision => {
    register().captures.get(decision.captureId);
    const at = session.settings.now().toISOString();
    const by = decision.by === '' ? session.settings.who : decision.by;
    return register().decisions.put(id, { ...decision, by, at });
  };
  return {
    stateList: () => Promise.resolve(register().states.list()),
    statePut({ id, ...state }) {
      const { states } = register();
      mustBeThere(states, state.parentId, 'state');
      if (id !== null && earlierStates(state.parentId, states.list()).some((earlier) => earlier.id === id)) {
        throw new Refused(`State ${state.name} cannot come from itself or from a state that came from it.`);
      }
      return change('state', () => states.put(id, state));
    },
    stateRemove: ({ id }) => change('state', () => register().states.remove(id)),
    fixList: () => Promise.resolve(register().fixes.list()),
    fixPut({ id, ...fix }) {
      const { states, fixes, sources } = register();
      mustBeThere(states, fix.fromStateId, 'state');
      mustBeThere(states, fix.toStateId, 'state');
      if (fix.fromStateId === fix.toStateId)
        throw new Refused('A fix leads from one state to another, not to the same.');
      const known = new Set(sources.list().map(({ source }) => source.designator));
      const unknown = fix.sources.find((designator) => !known.has(designator));
      if (unknown !== undefined) throw new Refused(`There is no source ${unknown} in this register.`);
      return change('fix', () => fixes.put(id, fix));
    },
    fixRemove: ({ id }) => change('fix', () => register().fixes.remove(id)),
    pointList: () => Promise.resolve(register().points.list()),
    pointPut: ({ id, ...point }) => change('point', () => register().points.put(id, point)),
    pointRemove: ({ id }) => change('point', () => register().points.remove(id)),
    eventList: () => Promise.resolve(register().events.list()),
    eventPut({ id, ...event }) {
      mustBeThere(register().states, event.afterStateId, 'state');
      return change('event', () => register().events.put(id, event));
    },
    decisionList: ({ captureId }) =>
      Promise.resolve(
        register()
          .decisions.list()
          .filter((decision) => decision.captureId === captureId),
      ),
    decisionPut: (decision) => change('decision', () => putDecision(decision)),
    decisionPutMany: ({ decisions }) =>
      change('decision', () => register().step(() => decisions.map((decision) => putDecision(decision)))),
  };
}
