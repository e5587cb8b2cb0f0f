import { describe, expect, test } from 'vitest';
import { bandHints, KNOWN_BANDS } from '../../../src-main/engine/evidence/known-bands.ts';
import { statusLookup } from '../../../src-main/engine/evidence/source-status.ts';
import { terminationPlace } from '../../../src-main/engine/evidence/termination-place.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import { handSource } from '../tracking/hand-triage.ts';

describe('bandHints(frequency, sigma)', () => {
  // 47 CFR 18.301: 13.56 MHz ± 7 kHz, 27.12 MHz ± 163 kHz, 40.68 MHz ± 20 kHz, 915 ± 13 MHz, 2450 ± 50 MHz, 6.78 MHz ± 15 kHz
  test.each([
    [13.56e6, 7e3],
    [27.12e6, 163e3],
    [40.68e6, 20e3],
    [915e6, 13e6],
    [2450e6, 50e6],
    [6.78e6, 15e3],
  ])('%d Hz has its industrial band of ± %d Hz', (centreHz, halfHz) => {
    const named = (hz: number) => bandHints(hz, 0).some((hint) => /industrial/.test(hint));
    expect([centreHz - halfHz, centreHz, centreHz + halfHz].map(named)).toEqual([true, true, true]);
    expect([centreHz - 1.01 * halfHz, centreHz + 1.01 * halfHz].map(named)).toEqual([false, false]);
  });

  test('a raster is named where frequency is known well enough, and only then', () => {
    expect(bandHints(711e3, 10)[0]).toBe('medium-wave broadcasting, on its 9 kHz raster');
    expect(bandHints(713.4e3, 10)[0]).toBe('medium-wave broadcasting, but off its 9 kHz raster');
    expect(bandHints(713.4e3, 600)[0]).toBe('medium-wave broadcasting');
  });

  test('what nobody opened is marked from memory', () => {
    expect(bandHints(9.6e6, 10)[0]).toMatch(/from memory: check against your edition/);
    expect(bandHints(6e6, 10)[0]).not.toMatch(/memory/);
  });

  test('a line in no band has no hint; every band is a range that holds something', () => {
    expect(bandHints(8.3e6, 10)).toEqual([]);
    for (const { name, lowHz, highHz } of KNOWN_BANDS) expect(highHz, name).toBeGreaterThan(lowHz);
  });
});

describe('statusLookup(condition, sources)', () => {
  const sources = [
    handSource('BUS', 225e3),
    handSource('MAIN', 300e3, { fedBy: 'BUS' }),
    handSource('DIG', 520e3, { fedBy: 'MAIN' }),
    handSource('XO', 4e6),
    handSource('PLL', 16e6, { lock: { to: 'XO', numerator: 4, denominator: 1 } }),
    handSource('HOST', 132e3, { owner: 'host' }),
  ];
  const status = (condition: Partial<Condition> | null) => {
    const of = statusLookup(condition === null ? null : { ...silentCondition('a'), ...condition }, sources);
    return sources.map(({ designator }) => of(designator)).join(' ');
  };
  test.each([
    ['nobody said anything', null, 'unsaid unsaid unsaid unsaid unsaid unsaid'],
    ['what is fed goes off with its feeder', { sourcesOff: ['BUS'] }, 'off off off unsaid unsaid unsaid'],
    ['unless it is stated on', { sourcesOff: ['BUS'], sourcesOn: ['DIG'] }, 'off off on unsaid unsaid unsaid'],
    ['what a switched-off clock drives is unsure', { sourcesOff: ['XO'] }, 'unsaid unsaid unsaid off unsure unsaid'],
    ['a list of what ran leaves the rest off', { sourcesOn: ['BUS', 'HOST'] }, 'on off off off off on'],
    ['role off: all', { role: 'off' }, 'off off off off off off'],
    [
      'role off with a list: ours, and the host’s is unsure',
      { role: 'off', sourcesOff: ['BUS'] },
      'off off off off off unsure',
    ],
    ['role off with something left on', { role: 'off', sourcesOn: ['HOST'] }, 'off off off off off on'],
  ] as const)('%s', (_, condition, expected) => {
    expect(status(condition)).toBe(expected);
  });
});

describe('terminationPlace(condition)', () => {
  const place = (more: Partial<Condition>) =>
    terminationPlace({ ...silentCondition('a'), role: 'terminated', ...more });
  test.each([
    ['stated', { terminatedAt: 'probe', mode: 'at the analyser' }, { place: 'probe', from: 'stated' }],
    ['words of the mode', { mode: '50 ohm at analyzer input' }, { place: 'analyser', from: 'words' }],
    ['words of the load', { load: 'far end of the cable' }, { place: 'probe', from: 'words' }],
    ['words that say both say nothing', { mode: 'cable off, load at analyser' }, { place: null, from: null }],
    ['nothing', { mode: 'input terminated', point: 'receiver port' }, { place: null, from: null }],
  ] as const)('%s', (_, condition, expected) => {
    expect(place(condition)).toEqual(expected);
  });
});
