import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { parseRequirementTable, writeRequirementTable } from '../../../src-main/readers/tables/requirement-table.ts';

const read = (text: string) => parseRequirementTable(text, 'requirements.csv');

test('a table of requirements is read row by row, an empty demand meaning the strongest line', () => {
  const text =
    'id,text,bands,demand,at_least,counted_as,limit,modes,temperatures_c,points\n' +
    'RX-1,"No line, ever",low | high,,,,,sounding,-20…50 | 60 to 70,port\n' +
    'RX-2,,low,clean channels,0.9,share,own,,,\n';
  expect(read(text)).toEqual([
    {
      code: 'RX-1',
      text: 'No line, ever',
      bands: ['low', 'high'],
      demand: { kind: 'strongest-line' },
      limit: null,
      modes: ['sounding'],
      temperatures: [
        { lowC: -20, highC: 50 },
        { lowC: 60, highC: 70 },
      ],
      points: ['port'],
    },
    {
      code: 'RX-2',
      text: '',
      bands: ['low'],
      demand: { kind: 'clean-channels', atLeast: 0.9, as: 'share' },
      limit: 'own',
      modes: [],
      temperatures: [],
      points: [],
    },
  ]);
});

test.each([
  ['an ID twice', 'id\nA\nA\n', /second time/],
  ['no ID', 'id,text\n,words\n', /nothing/],
  ['a reversed range', 'id,temperatures_c\nA,50…20\n', /50…20/],
  ['a share above one', 'id,demand,at_least\nA,clean channels,90\n', /90/],
  ['a share of nothing', 'id,demand,at_least\nA,clean channels,0\n', /0/],
  ['half a channel', 'id,demand,at_least,counted_as\nA,clean channels,2.5,count\n', /2\.5/],
  ['an unknown demand', 'id,demand\nA,silence\n', /silence/],
  ['a column that means nothing', 'id,band\nA,low\n', /bands/],
])('%s is refused with its line', (_, text, found) => {
  expect(() => read(text)).toThrow(InputError);
  expect(() => read(text)).toThrow(found);
});

test('what is written is read back to the same requirements', () => {
  const name = fc.stringMatching(/^[A-Za-z0-9=+@-][A-Za-z0-9 ,;"'-]{0,12}[A-Za-z0-9]$/);
  const celsius = fc.integer({ min: -600, max: 1500 }).map((tenths) => tenths / 10);
  const requirement = fc.record({
    text: name,
    bands: fc.uniqueArray(name, { maxLength: 3 }),
    demand: fc.oneof(
      fc.constant({ kind: 'strongest-line' as const }),
      fc
        .integer({ min: 1, max: 100 })
        .map((n) => ({ kind: 'clean-channels' as const, atLeast: n, as: 'count' as const })),
      fc.integer({ min: 1, max: 100 }).map((n) => ({
        kind: 'clean-channels' as const,
        atLeast: n / 100,
        as: 'share' as const,
      })),
    ),
    limit: fc.option(name),
    modes: fc.uniqueArray(name, { maxLength: 2 }),
    temperatures: fc.array(
      fc.tuple(celsius, celsius).map(([a, b]) => ({ lowC: Math.min(a, b) + 0, highC: Math.max(a, b) + 0 })),
      { maxLength: 2 },
    ),
    points: fc.uniqueArray(name, { maxLength: 2 }),
  });
  fc.assert(
    fc.property(fc.array(requirement, { maxLength: 5 }), (list) => {
      const all = list.map((one, i) => ({ ...one, code: `RX-${i}` }));
      expect(read(writeRequirementTable(all))).toEqual(all);
    }),
    { seed: 20260304, numRuns: 300 },
  );
});
