import SqliteDatabase from 'better-sqlite3';
import { expect, test } from 'vitest';
import type { AdoptedPlan } from '../../src-main/model/adopted-plan.ts';
import { migrate, MIGRATIONS } from '../../src-main/register/migrate.ts';
import { aState, freshRegister, refusalOf, reopen, source } from './scene.ts';

function aPlan(stateId: number | null): Omit<AdoptedPlan, 'id'> {
  const setting = { source: 'A', nominalHz: 3e5, lockedTo: null, lockNumerator: null, lockDenominator: null };
  return {
    title: 'quieter',
    stateId,
    basis: { temperatureSpanK: 10, leakageHz: 0, offerLocks: true, seed: 1, useMeasured: false, leftOut: ['A'] },
    plan: { settings: [setting], changes: 1, lostWeight: 4, lostChannels: 4, bands: [], sources: [] },
    lostChannelsBefore: 9,
    by: 'me',
    at: '2026-01-01T00:00:00Z',
  };
}

test('an adopted plan comes back as it was given, is undone and redone, and holds its state', () => {
  const register = freshRegister();
  const state = register.states.put(null, aState('S9'));
  const kept = register.plans.put(null, aPlan(state.id));
  expect(kept).toEqual({ ...aPlan(state.id), id: kept.id });
  expect(refusalOf(() => register.states.remove(state.id)).problem.found).toContain('1 plan');
  register.undo();
  expect(register.plans.list()).toEqual([]);
  register.redo();
  expect(register.plans.list()).toEqual([kept]);
  const again = reopen(register);
  expect(again.plans.list()).toEqual([kept]);
  expect(again.check()).toEqual([]);
});

test('a plan for a state that is not there is refused', () => {
  const register = freshRegister();
  expect(refusalOf(() => register.plans.put(null, aPlan(77))).problem.found).toBe('no state 77');
});

test('a renamed source is renamed in adopted plans', () => {
  const register = freshRegister();
  register.sources.put(source('A'), null);
  register.plans.put(null, aPlan(null));
  register.sources.put(source('B'), 'A');
  const [kept] = register.plans.list();
  expect(kept!.plan.settings[0]!.source).toBe('B');
  expect(kept!.basis.leftOut).toEqual(['B']);
});

test('migration 0006 adds the table of plans to a file of the version before', () => {
  const db = new SqliteDatabase(':memory:');
  migrate(db, MIGRATIONS.slice(0, 5));
  db.prepare("INSERT INTO state (revision, body) VALUES (1, '{}')").run();
  migrate(db, MIGRATIONS.slice(0, 6));
  db.prepare("INSERT INTO plan (state_id, revision, body) VALUES (1, 1, '{}')").run();
  expect(() => db.prepare("INSERT INTO plan (state_id, revision, body) VALUES (2, 1, '{}')").run()).toThrow(
    /FOREIGN KEY/,
  );
  db.close();
});
