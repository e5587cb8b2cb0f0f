import { describe, expect, test } from 'vitest';
import { aDecision, aPoint, aState, codeOf, freshRegister, refusalOf, reopen, take } from './scene.ts';

const aFix = (fromStateId: number, toStateId: number) => ({
  fromStateId,
  toStateId,
  change: 'bead on the supply',
  sources: [],
  by: 'me',
  at: '2026-01-01T00:00:00Z',
  undoneAt: null,
  notes: '',
});
const anEvent = (afterStateId: number | null) => ({
  kind: 'vibration' as const,
  description: 'level 2',
  at: '2026-01-01T00:00:00Z',
  afterStateId,
});
const aBand = (name: string, lowHz = 1e6, highHz = 2e6) => ({
  name,
  lowHz,
  highHz,
  channelHz: null,
  channelOriginHz: null,
  allowedOverFloorDb: null,
  allowedLevel: null,
  allowedUnit: null,
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
});

describe('states, fixes, points, events, bands and decisions', () => {
  test('come back as they were given, over closing and opening', () => {
    const register = freshRegister();
    const s0 = register.states.put(null, aState('S0'));
    const s1 = register.states.put(null, aState('S1', s0.id));
    const { capture: kept } = take(register, 'a.csv');
    const put = {
      states: [s0, s1],
      fixes: [register.fixes.put(null, aFix(s0.id, s1.id))],
      points: [register.points.put(null, aPoint('port'))],
      events: [register.events.put(null, anEvent(s1.id))],
      bands: [register.bands.put(null, aBand('II'))],
      decisions: [register.decisions.put(null, aDecision(kept.id))],
    };
    const again = reopen(register);
    for (const name of Object.keys(put) as (keyof typeof put)[]) {
      expect(again[name].list()).toEqual(put[name]);
      expect(again[name].get(put[name][0]!.id)).toEqual(put[name][0]);
      expect(again[name].get(99)).toBeNull();
    }
    expect(s1).toEqual({ ...aState('S1', s0.id), id: s1.id });
  });

  test('what contradicts the rest is refused with what was found', () => {
    const register = freshRegister();
    const s0 = register.states.put(null, aState('S0'));
    const s1 = register.states.put(null, aState('S1', s0.id));
    register.points.put(null, aPoint('port'));
    register.bands.put(null, aBand('II'));
    const entries = register.history(99, null).length;
    const found = (act: () => unknown): string => refusalOf(act).problem.found;
    expect(found(() => register.states.put(null, aState('S1')))).toMatch(/second time/);
    expect(found(() => register.states.put(s1.id, aState('S0')))).toMatch(/second time/);
    expect(found(() => register.states.put(null, aState('S2', 99)))).toMatch(/no state 99/);
    expect(found(() => register.states.put(s0.id, aState('S0', s1.id)))).toMatch(/comes from itself/);
    expect(found(() => register.states.put(s0.id, aState('S0', s0.id)))).toMatch(/comes from itself/);
    expect(found(() => register.fixes.put(null, aFix(s0.id, s0.id)))).toMatch(/both sides/);
    expect(found(() => register.fixes.put(null, aFix(s0.id, 99)))).toMatch(/no state 99/);
    expect(found(() => register.points.put(null, aPoint('port')))).toMatch(/second time/);
    expect(found(() => register.events.put(null, anEvent(99)))).toMatch(/no state 99/);
    expect(found(() => register.bands.put(null, aBand('II')))).toMatch(/second time/);
    expect(found(() => register.bands.put(null, aBand('III', 2e6, 1e6)))).toMatch(/2000000 … 1000000/);
    expect(found(() => register.decisions.put(null, aDecision(99)))).toMatch(/no capture 99/);
    expect(codeOf(() => register.fixes.put(99, aFix(s0.id, s1.id)))).toBe('not-found');
    expect(codeOf(() => register.points.remove(99))).toBe('not-found');
    expect(register.history(99, null)).toHaveLength(entries);
  });

  test('what others rest on stays, and the reason counts them', () => {
    const register = freshRegister();
    const s0 = register.states.put(null, aState('S0'));
    const s1 = register.states.put(null, aState('S1', s0.id));
    const point = register.points.put(null, aPoint('port'));
    const fix = register.fixes.put(null, aFix(s0.id, s1.id));
    const event = register.events.put(null, anEvent(s1.id));
    const ids = [0, 1].map((seed) => take(register, `${seed}.csv`, seed).capture.id);
    register.captures.assign(ids, { stateId: s1.id, pointId: point.id });
    const reason = (act: () => unknown): string => refusalOf(act).problem.found;
    expect(reason(() => register.states.remove(s0.id))).toBe('1 later state and 1 fix resting on it');
    expect(reason(() => register.states.remove(s1.id))).toBe('2 captures and 1 fix and 1 event resting on it');
    expect(reason(() => register.points.remove(point.id))).toBe('2 captures resting on it');
    // once that is gone, it can go
    register.captures.remove(ids);
    register.fixes.remove(fix.id);
    register.events.remove(event.id);
    register.states.remove(s1.id);
    register.states.remove(s0.id);
    register.points.remove(point.id);
    expect(register.states.list()).toEqual([]);
    // a name that was given up can be taken again
    expect(register.states.put(null, aState('S0')).id).toBeGreaterThan(s1.id);
  });

  test('a change that started from an older revision than is there now is refused', () => {
    const register = freshRegister();
    const other = reopen(register);
    const { id } = register.states.put(null, aState('S0'));
    const revision = register.states.revisionOf(id);
    other.states.put(id, { ...aState('S0'), description: 'theirs' }, other.states.revisionOf(id));
    expect(codeOf(() => register.states.put(id, { ...aState('S0'), description: 'mine' }, revision))).toBe('stale');
    expect(register.states.get(id)!.description).toBe('theirs');
    expect(register.states.put(id, { ...aState('S0'), description: 'mine' }, revision + 1).description).toBe('mine');
  });
});
