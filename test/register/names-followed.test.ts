import { expect, test } from 'vitest';
import type { Disposition } from '../../src-main/model/disposition.ts';
import type { Register } from '../../src-main/register/register.ts';
import { aBand } from '../engine/planning/plan-lists.ts';
import { aPoint, aState, freshRegister, refusalOf, source } from './scene.ts';

const BAND = aBand(1e6, 2e6, null, { name: 'low', allowedOverFloorDb: 6 });
const POINT = aPoint('port');
const REQUIREMENT = {
  code: 'RX-1',
  text: '',
  bands: ['low'],
  demand: { kind: 'strongest-line' as const },
  limit: null,
  modes: [],
  temperatures: [],
  points: ['port'],
};
const acceptance = (subject: Disposition['subject']) => ({
  subject,
  reason: 'blanked',
  approver: 'lead',
  at: '2026-03-04T10:00:00Z',
  scope: { serials: [], modes: [], bands: ['low'], points: ['port'], temperature: null },
  fromStateId: null,
  untilStateId: null,
  expiresOn: null,
});
const LINE = {
  kind: 'line' as const,
  source: 'U1',
  harmonic: 3,
  frequencyHz: 1.5e6,
  levelDb: -90,
  levelSigmaDb: 1,
  unit: 'dBm',
};

function scene(): { register: Register; bandId: number; pointId: number } {
  const register = freshRegister();
  register.sources.put(source('U1'), null);
  register.states.put(null, aState('S0'));
  const bandId = register.bands.put(null, BAND).id;
  const pointId = register.points.put(null, POINT).id;
  register.requirements.put(null, REQUIREMENT);
  register.dispositions.put(null, acceptance(LINE));
  register.dispositions.put(null, acceptance({ kind: 'not-exercised', source: 'U1' }));
  return { register, bandId, pointId };
}

test('a renamed band or point is renamed in requirements and acceptances, as one step that undo takes back', () => {
  const { register, bandId, pointId } = scene();
  const names = () => [
    register.requirements.list().map(({ bands, points }) => [bands, points]),
    register.dispositions.list().map(({ scope }) => [scope.bands, scope.points]),
  ];
  const before = names();
  register.bands.put(bandId, { ...BAND, name: 'lower' });
  register.points.put(pointId, { ...POINT, name: 'antenna port' });
  expect(names()).toEqual([
    [[['lower'], ['antenna port']]],
    [
      [['lower'], ['antenna port']],
      [['lower'], ['antenna port']],
    ],
  ]);
  register.undo();
  register.undo();
  expect(names()).toEqual(before);
  expect(register.bands.list()[0]!.name).toBe('low');
});

test('a renamed source is renamed in what was accepted of it, so that no acceptance lapses by a name', () => {
  const { register } = scene();
  register.sources.put(source('U1-A'), 'U1');
  expect(register.dispositions.list().map(({ subject }) => 'source' in subject && subject.source)).toEqual([
    'U1-A',
    'U1-A',
  ]);
  register.undo();
  expect(register.dispositions.list()[0]!.subject).toEqual(LINE);
});

test('a band or point that a requirement names, and a source that an acceptance names, are not removed', () => {
  const { register, bandId, pointId } = scene();
  expect(refusalOf(() => register.bands.remove(bandId)).problem.found).toBe('RX-1 resting on it');
  expect(refusalOf(() => register.points.remove(pointId)).problem.found).toBe('RX-1 resting on it');
  expect(refusalOf(() => register.sources.remove('U1')).problem.found).toBe('an acceptance by lead names it');
  register.requirements.remove(register.requirements.list()[0]!.id);
  register.bands.remove(bandId);
  register.points.remove(pointId);
  expect([register.bands.list(), register.points.list()]).toEqual([[], []]);
});
