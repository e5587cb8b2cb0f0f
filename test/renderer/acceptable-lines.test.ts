import { expect, test } from 'vitest';
import type { Disposition } from '../../src-main/model/disposition.ts';
import type { DecidingLine, Verdict } from '../../src-main/model/verdict.ts';
import { acceptableLines, type LineSubject } from '../../src-renderer/state/acceptable-lines.ts';
import type { SpurRow } from '../../src-renderer/state/spur-rows.ts';

const LINE: DecidingLine = {
  captureId: 1,
  spurIndex: 4,
  frequencyHz: 1.5e6,
  inBandHz: 1.5e6,
  source: 'U1',
  harmonic: 3,
  levelDb: -90,
  levelSigmaDb: 0.8,
  unit: 'dBm',
};
const verdict = (ruling: Verdict['ruling'], decidedBy: DecidingLine | null) => ({ ruling, decidedBy }) as Verdict;
const SUBJECT: LineSubject = {
  kind: 'line',
  source: 'U1',
  harmonic: 3,
  frequencyHz: 1.5e6,
  levelDb: -90,
  levelSigmaDb: 0.8,
  unit: 'dBm',
};

test('lines that keep a verdict from holding can be accepted, each once; one that holds cannot', () => {
  const other = { ...LINE, frequencyHz: 2e6, harmonic: 4 };
  const verdicts = [verdict('falls short', LINE), verdict('not shown', LINE), verdict('holds', other)];
  expect(acceptableLines(null, null, verdicts, null)).toEqual([SUBJECT]);
});

test('the verdict that was chosen comes first', () => {
  const other = { ...LINE, frequencyHz: 2e6, harmonic: 4 };
  const chosen = verdict('falls short', other);
  expect(
    acceptableLines(null, chosen, [verdict('falls short', LINE), chosen], null).map((one) => one.harmonic),
  ).toEqual([4, 3]);
});

test('noise, a line without a level and a line without its doubt are not offered: no level is made up for them', () => {
  const lines = [
    null,
    { ...LINE, spurIndex: null, levelDb: null, levelSigmaDb: null },
    { ...LINE, levelDb: null },
    { ...LINE, levelSigmaDb: null },
  ];
  expect(
    acceptableLines(
      null,
      null,
      lines.map((line) => verdict('falls short', line)),
      null,
    ),
  ).toEqual([]);
});

test('what an acceptance names already stands first, with the level it was accepted at', () => {
  const kept = { subject: { ...SUBJECT, levelDb: -95 } } as Disposition;
  expect(acceptableLines(kept, null, [verdict('falls short', LINE)], null)).toEqual([{ ...SUBJECT, levelDb: -95 }]);
});

test('the spur on Bench is offered by the name the tool gives it, and by its frequency where several fit', () => {
  const spur = { frequencyHz: 3e6, levelDb: -80, levelSigmaDb: 1 };
  const candidates = [
    { source: 'U1', harmonic: 7 },
    { source: 'U2', harmonic: 5 },
  ];
  const row = (cause: string) => ({ spur, cause, explanation: { candidates } }) as unknown as SpurRow;
  expect(acceptableLines(null, null, [], { row: row('source'), unit: 'dBm' })).toMatchObject([
    { source: 'U1', harmonic: 7, levelDb: -80 },
  ]);
  expect(acceptableLines(null, null, [], { row: row('ambiguous'), unit: 'dBm' })).toMatchObject([
    { source: null, harmonic: null },
  ]);
});
