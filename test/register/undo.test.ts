import { expect, test } from 'vitest';
import { freshRegister, source } from './scene.ts';

test('what was settled is beyond undo and redo, what comes after it is not, and the history keeps both', () => {
  const register = freshRegister();
  register.sources.put(source('U1'), null);
  register.sources.put(source('U2'), null);
  register.undo();
  register.settle();
  expect(register.facts()).toMatchObject({ undoSummary: null, redoSummary: null });
  expect(() => register.undo()).toThrow(/nothing to undo|take/i);
  register.sources.put(source('U3'), null);
  register.undo();
  expect(register.sources.list().map((entry) => entry.source.designator)).toEqual(['U1']);
  expect(register.history(20, null).map((entry) => entry.action)).toEqual(['undo', 'add', 'undo', 'add', 'add']);
});
