import { decisionsOn, type Decision } from '../../model/decision.ts';
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
  | 'eventRemove'
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
  const mustKnow = (designators: readonly string[]): void => {
    const known = new Set(
      register()
        .sources.list()
        .map(({ source }) => source.designator),
    );
    const unknown = designators.find((designator) => !known.has(designator));
    if (unknown !== undefined) throw new Refused(`There is no source ${unknown} in this register.`);
  };
  const putDecision = ({ id, ...decision }: Parameters<Api['decisionPut']>[0]): Decision => {
    register().captures.get(decision.captureId);
    const at = session.settings.now().toISOString();
    const by = decision.by === '' ? session.settings.who : decision.by;
    return register().decisions.put(id, { ...decision, by, at });
  };
  return {
    stateList: () => Promise.resolve(register().states.list()),
    statePut({ id, fix, ...state }) {
      const { states, fixes } = register();
      mustBeThere(states, state.parentId, 'state');
      if (id !== null && earlierStates(state.parentId, states.list()).some((earlier) => earlier.id === id)) {
        throw new Refused(`State ${state.name} cannot come from itself or from a state that came from it.`);
      }
      const { parentId } = state;
      if (fix !== undefined && parentId === null)
        throw new Refused('A fix leads from one state to another: say which state this one came from.');
      if (fix !== undefined) mustKnow(fix.sources);
      return change('state', () =>
        register().step(() => {
          const kept = states.put(id, state);
          if (fix !== undefined)
            fixes.put(null, { ...fix, fromStateId: parentId!, toStateId: kept.id, undoneAt: null });
          return kept;
        }),
      );
    },
    stateRemove: ({ id }) => change('state', () => register().states.remove(id)),
    fixList: () => Promise.resolve(register().fixes.list()),
    fixPut({ id, ...fix }) {
      const { states, fixes } = register();
      mustBeThere(states, fix.fromStateId, 'state');
      mustBeThere(states, fix.toStateId, 'state');
      if (fix.fromStateId === fix.toStateId)
        throw new Refused('A fix leads from one state to another, not to the same.');
      mustKnow(fix.sources);
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
    eventRemove: ({ id }) => change('event', () => register().events.remove(id)),
    decisionList: ({ captureId }) => Promise.resolve(decisionsOn(captureId, register().decisions.list())),
    decisionPut: (decision) => change('decision', () => putDecision(decision)),
    decisionPutMany: ({ decisions }) =>
      change('decision', () => register().step(() => decisions.map((decision) => putDecision(decision)))),
  };
}
