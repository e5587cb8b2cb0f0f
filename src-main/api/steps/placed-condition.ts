import type { Condition } from '../../model/condition.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';

/** A capture's condition with the names of the point and the state that the register has assigned, which hold before those of its own row. */
export function placedCondition(
  { condition, pointId, stateId }: Pick<StoredCapture, 'condition' | 'pointId' | 'stateId'>,
  register: Pick<Register, 'points' | 'states'>,
): Condition {
  const nameOf = (list: readonly { readonly id: number; readonly name: string }[], id: number | null) =>
    id === null ? null : (list.find((entry) => entry.id === id)?.name ?? null);
  return {
    ...condition,
    point: nameOf(register.points.list(), pointId) ?? condition.point,
    state: nameOf(register.states.list(), stateId) ?? condition.state,
  };
}
