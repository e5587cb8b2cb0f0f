import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createRegister, type Register } from '../../src-main/register/register.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';
import {
  aDecision,
  aPoint,
  aState,
  codeOf,
  folder,
  freshRegister,
  options,
  refusalOf,
  reopen,
  source,
  take,
} from './scene.ts';

/** Everything a user can see of a register. */
function picture(register: Register): string {
  return JSON.stringify([
    register.facts().title,
    register.sources.list().map(({ source: entry, letter, order }) => [entry, letter, order]),
    register.captures.list(),
    register.captures.list().map(({ id }) => [...register.captures.trace(id, 0).level]),
    register.states.list(),
    register.fixes.list(),
    register.points.list(),
    register.events.list(),
    register.bands.list(),
    register.decisions.list(),
  ]);
}

describe('history', () => {
  test('says who, when, what, before and after, and cannot be altered', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U1', { nominalHz: 310e3 }), 'U1');
    const [latest] = register.history(5, null);
    expect(latest).toMatchObject({
      who: 'tester',
      subject: 'source',
      subjectKey: 'source U1',
      action: 'change',
      undoable: true,
    });
    expect(latest!.at).toMatch(/^2026-01-01T00:\d\d:\d\d\.000Z$/);
    expect(JSON.parse(latest!.before!)).toMatchObject({ body: { nominalHz: 300e3 }, gone: false });
    expect(JSON.parse(latest!.after!)).toMatchObject({ body: { nominalHz: 310e3 }, gone: false });
    const db = new SqliteDatabase(register.path);
    expect(() => db.exec('UPDATE history SET who = 1')).toThrow(/never changed/);
    expect(() => db.exec('DELETE FROM history')).toThrow(/never deleted/);
    db.close();
  });

  test('is read page by page, newest first', () => {
    const register = freshRegister();
    for (let i = 0; i < 5; i++) register.sources.put(source(`U${i}`), null);
    const first = register.history(2, null);
    expect(first.map((entry) => entry.subjectKey)).toEqual(['source U4', 'source U3']);
    expect(register.history(9, first[1]!.id).map((entry) => entry.subjectKey)).toEqual([
      'source U2',
      'source U1',
      'source U0',
    ]);
  });

  test('the same values again, their fields in another order, are no change', () => {
    const register = freshRegister();
    const entry = source('U1');
    register.sources.put(entry, null);
    register.sources.put(Object.fromEntries(Object.entries(entry).reverse()) as unknown as typeof entry, 'U1');
    expect(register.history(9, null)).toHaveLength(1);
  });
});

describe('undo and redo', () => {
  test('are entries of their own; a new change leaves what was taken back behind', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.undo();
    expect(register.sources.list()).toHaveLength(0);
    expect(register.facts()).toMatchObject({ undoSummary: null, redoSummary: 'added source U1' });
    register.redo();
    expect(register.sources.list()).toHaveLength(1);
    const entries = register.history(9, null);
    expect(entries.map((entry) => entry.action)).toEqual(['redo', 'undo', 'add']);
    expect(entries.map((entry) => entry.concerns)).toEqual([entries[2]!.id, entries[2]!.id, null]);
    expect(entries.map((entry) => entry.undoable)).toEqual([false, false, true]);
    register.undo();
    register.sources.put(source('U2'), null);
    expect(register.facts().redoSummary).toBeNull();
    expect(codeOf(() => register.redo())).toBe('refused');
  });

  test('with nothing to take back are refused and change nothing', () => {
    const register = freshRegister();
    expect(refusalOf(() => register.undo()).problem.found).toBe('nothing to undo');
    expect(refusalOf(() => register.redo()).problem.found).toBe('nothing to redo');
    expect(register.history(9, null)).toEqual([]);
  });

  test('an act that changes nothing, or is refused, leaves redo possible', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    register.sources.put(source('U2'), null);
    register.undo();
    register.sources.put(source('U1'), 'U1');
    expect(codeOf(() => register.sources.remove('nobody'))).toBe('not-found');
    register.redo();
    expect(register.sources.list()).toHaveLength(2);
  });

  test('reach over closing and opening, and over what another window did', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    const other = reopen(register);
    other.sources.put(source('U2'), null);
    register.undo();
    expect(other.sources.list().map((entry) => entry.source.designator)).toEqual(['U1']);
    other.undo();
    expect(register.sources.list()).toEqual([]);
  });

  test('a row that is not as the step left it is not written over', () => {
    const register = freshRegister();
    register.sources.put(source('U1'), null);
    const db = new SqliteDatabase(register.path);
    db.prepare('UPDATE source SET body = ?').run(JSON.stringify(source('U1', { notes: 'elsewhere' })));
    db.close();
    expect(codeOf(() => register.undo())).toBe('stale');
    expect(register.sources.list()[0]!.source.notes).toBe('elsewhere');
  });

  test('any sequence of changes of any kind is taken back step by step through every state before it, and done again', () => {
    const kinds = ['put', 'rename', 'drop', 'import', 'state', 'fix', 'point', 'event', 'band', 'capture'] as const;
    const more = ['assign', 'decide', 'discard', 'unstate', 'title', 'several'] as const;
    const act = fc.record({ kind: fc.constantFrom(...kinds, ...more), n: fc.nat(3), m: fc.nat(3) });
    const some = <T>(list: readonly T[], n: number): T => list[n % Math.max(list.length, 1)]!;
    const perform = (register: Register, { kind, n, m }: { kind: string; n: number; m: number }): void => {
      const sources = register.sources.list().map((entry) => entry.source);
      const states = register.states.list();
      const captures = register.captures.list();
      const name = `U${n}`;
      const old = sources.find((entry) => entry.designator === name);
      if (kind === 'put')
        register.sources.put(
          source(name, { nominalHz: 1e5 * (m + 1), fedBy: m > 1 ? `U${m}` : null }),
          old?.designator ?? null,
        );
      else if (kind === 'rename')
        register.sources.put({ ...some(sources, n), designator: `R${m}` }, some(sources, n).designator);
      else if (kind === 'drop') register.sources.remove(name);
      else if (kind === 'import') register.sources.import([source(name), source('X', { fedBy: name })], m === 0);
      else if (kind === 'state') register.states.put(null, aState(`S${n}${m}`, some(states, m)?.id ?? null));
      else if (kind === 'fix')
        register.fixes.put(null, {
          fromStateId: some(states, n).id,
          toStateId: some(states, m).id,
          change: 'bead',
          sources: [name],
          by: '',
          at: '',
          undoneAt: null,
          notes: '',
        });
      else if (kind === 'point') register.points.put(null, aPoint(`P${n}`));
      else if (kind === 'event')
        register.events.put(null, {
          kind: 'rework',
          description: '',
          at: '',
          afterStateId: some(states, n)?.id ?? null,
        });
      else if (kind === 'band') register.bands.put(some(register.bands.list(), m)?.id ?? null, band(`B${n}`));
      else if (kind === 'capture') take(register, `c${n}.csv`, n);
      else if (kind === 'assign')
        register.captures.assign([some(captures, n).id], {
          stateId: some(states, m)?.id ?? null,
          condition: { mode: `m${m}` },
        });
      else if (kind === 'decide') register.decisions.put(null, aDecision(some(captures, n).id, name));
      else if (kind === 'discard') register.captures.remove([some(captures, n).id]);
      else if (kind === 'unstate') register.states.remove(some(states, n).id);
      else if (kind === 'title') register.settings.put('title', `T${n}`);
      else
        register.step(() => {
          // rows that change twice in one step must be taken back in reverse
          const point = register.points.put(null, aPoint(`Q${n}${m}`));
          register.points.put(point.id, aPoint(`Z${n}${m}`));
          const { capture: taken } = take(register, `q${n}.csv`, n);
          register.captures.assign([taken.id], { pointId: point.id, condition: { mode: 'x' } });
        });
    };
    fc.assert(
      fc.property(fc.array(act, { minLength: 3, maxLength: 24 }), (acts) => {
        const register = createRegister(join(folder(), 'p.spurledger'), { title: 'p', isInvented: false }, options);
        const pictures = [picture(register)];
        for (const one of acts) {
          const newest = register.history(1, null)[0]?.id;
          try {
            perform(register, one);
          } catch (error) {
            // what is refused, or has nothing to act on, must have changed nothing
            if (!(error instanceof RegisterError) && !(error instanceof TypeError)) throw error;
            expect(register.history(1, null)[0]?.id).toBe(newest);
          }
          if (register.history(1, null)[0]?.id !== newest) pictures.push(picture(register));
        }
        for (const before of pictures.slice(0, -1).reverse()) {
          register.undo();
          expect(picture(register)).toBe(before);
        }
        expect(register.facts().undoSummary).toBeNull();
        for (const after of pictures.slice(1)) {
          register.redo();
          expect(picture(register)).toBe(after);
        }
        expect(register.facts().redoSummary).toBeNull();
        expect(register.check()).toEqual([]);
        register.close();
      }),
      { seed: 21, numRuns: 20 },
    );
  });
});

describe('step(act)', () => {
  test('all is kept as one step, or nothing', () => {
    const register = freshRegister();
    register.step(() => {
      register.sources.put(source('U1'), null);
      register.states.put(null, aState('S0'));
    });
    expect(register.facts().undoSummary).toBe('added source U1 and 1 more');
    expect(() =>
      register.step(() => {
        register.sources.put(source('U2'), null);
        throw new Error('on purpose');
      }),
    ).toThrow('on purpose');
    expect(register.sources.list()).toHaveLength(1);
    register.undo();
    expect(register.sources.list()).toEqual([]);
    expect(register.states.list()).toEqual([]);
  });

  test('a row that changes twice in a step, and a name that is given up and taken again, go back in reverse', () => {
    const register = freshRegister();
    register.sources.put(source('A'), null);
    register.step(() => {
      register.sources.put(source('B'), 'A');
      register.sources.put(source('B', { notes: 'x' }), 'B');
      register.sources.put(source('A', { notes: 'another' }), null);
    });
    register.undo();
    expect(register.sources.list()).toMatchObject([{ letter: 'A', source: source('A') }]);
    register.redo();
    expect(register.sources.list().map((entry) => [entry.letter, entry.source.designator, entry.source.notes])).toEqual(
      [
        ['A', 'B', 'x'],
        ['B', 'A', 'another'],
      ],
    );
  });

  test('an inner act that fails and is caught is taken back alone', () => {
    const register = freshRegister();
    register.step(() => {
      register.sources.put(source('U1'), null);
      try {
        register.step(() => {
          register.sources.put(source('U2'), null);
          throw new Error('on purpose');
        });
      } catch {
        register.sources.put(source('U3'), null);
      }
    });
    expect(register.sources.list().map((entry) => entry.source.designator)).toEqual(['U1', 'U3']);
  });
});

function band(name: string) {
  return {
    name,
    lowHz: 1e6,
    highHz: 2e6,
    channelHz: null,
    channelOriginHz: null,
    allowedOverFloorDb: null,
    allowedLevel: null,
    allowedUnit: null,
    weight: 1,
    sampleRateHz: null,
    localOscillatorHz: null,
  };
}
