import { describe, expect, test } from 'vitest';
import { chooseReferences } from '../../../src-main/engine/evidence/choose-references.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import { handSource } from '../tracking/hand-triage.ts';

const sources = [handSource('A', 3e5), handSource('B', 5e5, { fedBy: 'A' })];
const of = (more: Partial<Condition> | null, file = 'x.csv') => ({
  file,
  condition: more === null ? null : { ...silentCondition(file), ...more },
});
const choose = (subject: Partial<Condition> | null, ...others: (Partial<Condition> | null)[]) =>
  chooseReferences(
    of(subject),
    others.map((other) => of(other)),
    sources,
    5,
  ).map(({ as }) => as);

describe('chooseReferences(subject, others, sources, driftRange)', () => {
  test.each([
    ['a repeat', {}, {}, 'none'],
    ['nobody said anything of either', null, null, 'none'],
    ['all off', {}, { role: 'off' }, 'sources-off'],
    ['terminated', {}, { role: 'terminated' }, 'terminated'],
    ['attenuated', {}, { role: 'attenuated' }, 'attenuator'],
    ['the item seen from an attenuated capture', { role: 'attenuated' }, {}, 'attenuator'],
    ['two attenuated ones', { role: 'attenuated' }, { role: 'attenuated' }, 'none'],
    ['some off there', {}, { sourcesOff: ['A'] }, 'switch-off'],
    ['off here, on there', { sourcesOff: ['A'] }, {}, 'none'],
    ['warmer by the range', { temperatureC: 20 }, { temperatureC: 25 }, 'drift'],
    ['warmer by less', { temperatureC: 20 }, { temperatureC: 24 }, 'none'],
    ['another load', { load: 'dummy' }, { load: 'unit 2' }, 'drift'],
    ['another point', { point: 'P' }, { point: 'Q', role: 'off' }, 'none'],
    ['a point stated on one side only', { point: 'P' }, { role: 'off' }, 'sources-off'],
    ['another state, switched', { state: 'S0' }, { state: 'S1', sourcesOff: ['A'] }, 'none'],
    ['another state, all off', { state: 'S0' }, { state: 'S1', role: 'off' }, 'sources-off'],
    ['the item seen from a terminated capture', { role: 'terminated' }, {}, 'none'],
    ['terminated seen from all off', { role: 'off' }, { role: 'terminated' }, 'terminated'],
    ['the item seen from all off', { role: 'off' }, {}, 'none'],
  ] as const)('%s', (_, subject, other, expected) => {
    expect(choose(subject, other)).toEqual([expected]);
  });

  test('of several references of a role those of the same state are taken', () => {
    expect(
      choose(
        { state: 'S1' },
        { state: 'S0', role: 'off' },
        { state: 'S1', role: 'off' },
        { state: 'S0', role: 'terminated' },
      ),
    ).toEqual(['none', 'sources-off', 'terminated']);
  });

  test('what went off includes what the switched source feeds', () => {
    const [choice] = chooseReferences(of({}), [of({ sourcesOff: ['A'] })], sources, 5);
    expect(choice!.switchedOff).toEqual(['A', 'B']);
  });
});
