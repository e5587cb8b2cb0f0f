import { expect, test } from 'vitest';
import { BUILT_IN_LIMITS } from '../../src-main/engine/verdict/published/built-in-limits.ts';
import type { Decision } from '../../src-main/model/decision.ts';
import type { LimitLine } from '../../src-main/model/limit-line.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../src-main/model/verdict-settings.ts';
import { handSource } from './tracking/hand-triage.ts';
import { handBand } from './verdict/bands.ts';
import {
  PORT,
  handDisposition,
  handFix,
  handRequirement,
  handState,
  judged,
  ruled,
  shot,
} from './verdict/build-scene.ts';

/** A flat floor at −100 dBm, 16 averages; the hand triage says that lines 5.5 dB over it are found with probability 0.95; 10 dB are allowed. */
const QUIET = { lines: [] };
/** Skirts that stay well inside a channel of 20 kHz. */
const FINE = { rbwHz: 5e3, points: 4001 };
const lineAt = (hz: number, db: number, more = {}) => ({ lines: [{ hz, db, ...more }] });
const AN_ABSOLUTE: LimitLine = {
  name: 'own',
  unit: 'dBm',
  stretches: [{ lowHz: 1e6, highHz: 10e6, lowLevel: -80, highLevel: -80 }],
  detector: null,
  bandwidths: [],
  distanceM: null,
  document: 'own',
  isConfirmed: true,
  origin: 'own',
};
const byLimit = (limit: LimitLine = AN_ABSOLUTE) => ({
  limits: [limit],
  requirements: [handRequirement({ limit: limit.name })],
});

test('a band that a sensitive capture shows without a line holds, with what could have been missed in its margin', () => {
  const verdict = ruled([shot(1, QUIET)]);
  expect(verdict).toMatchObject({ ruling: 'holds', reason: null, found: null, allowed: -90, captureIds: [1] });
  // 10 dB allowed; less 5·1.103 dB to be found, 3.01·(5/10)² dB between two points, 1.645·√(1² + 0.05²) dB of set-up and floor
  expect(verdict.margin).toBeCloseTo(10 - 5.51 - 0.75 - 1.65, 1);
  expect(verdict.why).toContain('No line was found');
});

test('a line above what is allowed falls short, one well below holds, one within its doubt cannot be told', () => {
  expect(ruled([shot(1, lineAt(2.51e6, -80))])).toMatchObject({
    ruling: 'falls short',
    found: -80,
    allowed: -90,
    decidedBy: { frequencyHz: 2.51e6, captureId: 1 },
  });
  expect(ruled([shot(1, { ...lineAt(2.51e6, -88), averages: 400 })], byLimit())).toMatchObject({ ruling: 'holds' });
  const near = ruled([shot(1, lineAt(2.51e6, -81))], byLimit());
  expect(near).toMatchObject({ ruling: 'not shown', reason: 'cannot tell' });
  // 1.645·√(0.2² + 1² + 1.5²) = 2.98 dB
  expect(near.foundHigh! - near.found!).toBeCloseTo(2.98, 1);
  expect(near.why).toContain('may exceed by up to 2.0 dB');
});

test('a line outside the band does not count', () => {
  expect(ruled([shot(1, lineAt(3.5e6, -60))])).toMatchObject({ ruling: 'holds' });
});

test('a line just above its limit with the whole doubt above it falls short by its lower bound', () => {
  expect(ruled([shot(1, lineAt(2.51e6, -76.9))], byLimit())).toMatchObject({ ruling: 'falls short' });
  expect(ruled([shot(1, lineAt(2.51e6, -77.1))], byLimit())).toMatchObject({ reason: 'cannot tell' });
});

test('nothing holds by default: no requirement, no band, no limit, no capture, a reference capture alone', () => {
  expect(judged([shot(1, QUIET)], { requirements: [] })).toMatchObject({
    verdicts: [],
    heading: 'Nothing is required yet.',
  });
  expect(ruled([shot(1, QUIET)], { requirements: [handRequirement({ bands: [] })] }).reason).toBe('no band');
  expect(ruled([shot(1, QUIET)], { requirements: [handRequirement({ bands: ['gone'] })] }).reason).toBe('no band');
  expect(ruled([shot(1, QUIET)], { requirements: [handRequirement({ limit: 'gone' })] }).reason).toBe('no limit');
  expect(ruled([shot(1, QUIET)], { bands: [handBand({ allowedOverFloorDb: null })] }).reason).toBe('no limit');
  expect(ruled([]).reason).toBe('not measured');
  expect(ruled([shot(1, { ...QUIET, condition: { role: 'off' } })]).reason).toBe('not measured');
  expect(ruled([shot(1, { ...QUIET, condition: { role: 'attenuated' } })]).reason).toBe('not measured');
});

test('a capture that ends inside the band, is blank in it, or has points too far apart leaves it not measured', () => {
  expect(ruled([shot(1, { ...QUIET, stopHz: 2.6e6 })])).toMatchObject({ ruling: 'not shown', reason: 'not measured' });
  const blank = shot(1, QUIET);
  blank.triaged.levelDb.fill(NaN, 240, 250);
  expect(ruled([blank]).reason).toBe('not measured');
  expect(ruled([shot(1, { ...QUIET, points: 201, rbwHz: 10e3 })]).reason).toBe('not measured');
  // two captures that together cover it hold
  expect(
    ruled([shot(1, { ...QUIET, stopHz: 2.6e6, points: 401 }), shot(2, { ...QUIET, startHz: 2.5e6, points: 2001 })])
      .ruling,
  ).toBe('holds');
});

test('noise that could hide a line that is not allowed is never a pass', () => {
  const verdict = ruled([shot(1, { ...QUIET, floorDb: -79 })], byLimit());
  expect(verdict).toMatchObject({ ruling: 'not shown', reason: 'not sensitive enough' });
  expect(verdict.why).toMatch(/dB too insensitive/);
  // the weakest line over the floor and the doubt of an absolute level together decide: −80 − (−88) = 8 dB are enough, 5 are not
  expect(ruled([shot(1, { ...QUIET, floorDb: -90 })], byLimit()).ruling).toBe('holds');
  expect(ruled([shot(1, { ...QUIET, floorDb: -84 })], byLimit()).ruling).toBe('not shown');
});

test('a floor that rose does not raise what is allowed over it', () => {
  const captures = [shot(1, { ...QUIET, floorDb: -90 }), shot(2, { ...QUIET, stateId: 2 })];
  const verdict = ruled(captures, { states: [handState(1, null), handState(2, 1)] });
  expect(verdict).toMatchObject({ reason: 'not sensitive enough', allowed: -90 });
});

test('captures without a unit show nothing absolute, and what is over the floor all the same', () => {
  expect(ruled([shot(1, { ...QUIET, unit: 'unknown' })], byLimit())).toMatchObject({ reason: 'no unit' });
  expect(ruled([shot(1, { ...QUIET, unit: 'unknown' })])).toMatchObject({ ruling: 'holds' });
  const both = { bands: [handBand({ allowedLevel: -80, allowedUnit: 'dBm' })] };
  expect(ruled([shot(1, { ...QUIET, unit: 'unknown' })], both)).toMatchObject({ reason: 'no unit' });
  // what exceeds the floor's part falls short whatever the absolute part would say
  expect(ruled([shot(1, { ...lineAt(2.51e6, -70), unit: 'unknown' })], both)).toMatchObject({ ruling: 'falls short' });
  expect(ruled([shot(1, { ...QUIET, unit: 'dBµV/m' })], byLimit())).toMatchObject({ reason: 'no unit' });
});

test('units that convert are converted: −80 dBm are 27 dBµV in 50 Ω', () => {
  const verdict = ruled([shot(1, { ...lineAt(2.51e6, 30), floorDb: 0, unit: 'dBµV' })], byLimit());
  expect(verdict.allowed).toBeCloseTo(26.99, 2);
  expect(verdict).toMatchObject({ ruling: 'falls short', unit: 'dBµV' });
});

test('a probe’s own output is never held against an absolute limit', () => {
  for (const kind of ['near-field-probe', 'current-probe', 'antenna'] as const)
    expect(ruled([shot(1, { ...QUIET, point: { name: 'probe', kind } })], byLimit())).toMatchObject({
      ruling: 'not shown',
      reason: 'probe reading without transfer',
    });
  const field: LimitLine = {
    ...AN_ABSOLUTE,
    unit: 'dBµV/m',
    stretches: [{ lowHz: 1e6, highHz: 10e6, lowLevel: 40, highLevel: 40 }],
  };
  const corrected = shot(1, { ...QUIET, floorDb: 10, unit: 'dBµV/m', point: { name: 'mast', kind: 'antenna' } });
  expect(ruled([corrected], byLimit(field))).toMatchObject({ ruling: 'holds', unit: 'dBµV/m' });
});

test('a detector that may read too low shows nothing good, one that may read too high nothing bad', () => {
  const demand = (detector: LimitLine['detector']) => byLimit({ ...AN_ABSOLUTE, detector });
  const [average, peak] = [{}, { settings: { detector: 'positive-peak', averaging: 'none' } as const }];
  // average readings against a quasi-peak limit
  expect(ruled([shot(1, { ...QUIET, ...average })], demand('quasi-peak')).reason).toBe('detector does not fit');
  expect(ruled([shot(1, { ...lineAt(2.51e6, -70), ...average })], demand('quasi-peak')).ruling).toBe('falls short');
  // peak readings against the same
  expect(ruled([shot(1, { ...QUIET, ...peak })], demand('quasi-peak')).ruling).toBe('holds');
  expect(ruled([shot(1, { ...lineAt(2.51e6, -70), ...peak })], demand('quasi-peak'))).toMatchObject({
    ruling: 'not shown',
    reason: 'cannot tell',
  });
  expect(ruled([shot(1, QUIET)], demand('average')).ruling).toBe('holds');
  expect(ruled([shot(1, { ...QUIET, settings: { detector: 'unknown' } })], demand('average')).reason).toBe(
    'detector does not fit',
  );
  expect(ruled([shot(1, { ...QUIET, settings: { averaging: 'min-hold' } })]).reason).toBe('detector does not fit');
  // held readings: never below the average, never known to be a peak
  expect(ruled([shot(1, { ...QUIET, settings: { averaging: 'max-hold' } })], demand('average')).ruling).toBe('holds');
  expect(ruled([shot(1, { ...QUIET, settings: { averaging: 'max-hold' } })], demand('peak')).reason).toBe(
    'detector does not fit',
  );
});

test('a bandwidth narrower than demanded shows nothing good, a wider one nothing bad', () => {
  const demand = byLimit({
    ...AN_ABSOLUTE,
    bandwidths: [{ lowHz: 0, highHz: 1e9, bandwidthHz: 14.14e3, shape: '6 dB' }],
  });
  // 10 kHz between 3 dB points are 14.14 kHz between 6 dB points
  expect(ruled([shot(1, QUIET)], demand).ruling).toBe('holds');
  expect(ruled([shot(1, { ...QUIET, rbwHz: 5e3 })], demand).reason).toBe('bandwidth does not fit');
  expect(ruled([shot(1, { ...lineAt(2.51e6, -70), rbwHz: 5e3 })], demand).ruling).toBe('falls short');
  expect(ruled([shot(1, { ...QUIET, rbwHz: 18e3 })], demand).ruling).toBe('holds');
  expect(ruled([shot(1, { ...lineAt(2.51e6, -70), rbwHz: 18e3 })], demand).reason).toBe('cannot tell');
  expect(ruled([shot(1, { ...QUIET, rbwHz: null })], demand).reason).toBe('bandwidth does not fit');
});

test('a reading in more than a channel’s width says nothing of one channel over the floor', () => {
  expect(ruled([shot(1, { ...QUIET, rbwHz: 50e3 })]).reason).toBe('bandwidth does not fit');
});

test('an unconfirmed limit is said beside the verdict, whatever it is', () => {
  const ce102 = BUILT_IN_LIMITS.find(({ name }) => name === 'MIL-STD-461 CE102, 28 V')!;
  const capture = shot(1, {
    ...QUIET,
    unit: 'dBµV',
    floorDb: 10,
    settings: { detector: 'positive-peak', averaging: 'none' },
  });
  const verdict = ruled([capture], { limits: BUILT_IN_LIMITS, requirements: [handRequirement({ limit: ce102.name })] });
  expect(verdict).toMatchObject({ ruling: 'holds', isLimitConfirmed: false, limit: ce102.name });
  expect(verdict.why).toContain('Limit not confirmed: from memory: check against your edition');
});

test('a limit line that does not reach into the band sets no limit there', () => {
  const far = { ...AN_ABSOLUTE, stretches: [{ lowHz: 20e6, highHz: 30e6, lowLevel: -80, highLevel: -80 }] };
  expect(ruled([shot(1, QUIET)], byLimit(far)).reason).toBe('no limit');
});

test('a source that nothing shows to have run leaves the band not exercised', () => {
  const sources = [handSource('U1', 300e3), handSource('U2', 700e3)];
  const seen = lineAt(8.1e6, -70, { source: 'U1', harmonic: 27 });
  expect(ruled([shot(1, seen)], { sources })).toMatchObject({ ruling: 'not shown', reason: 'not exercised' });
  expect(ruled([shot(1, seen)], { sources }).why).toContain('U2 ran');
  expect(ruled([shot(1, { ...seen, condition: { sourcesOn: ['U2'] } })], { sources }).ruling).toBe('holds');
  // stated to be on, but what feeds it was off
  const fed = [sources[0]!, handSource('U2', 700e3, { fedBy: 'U3' }), handSource('U3', 50e6)];
  expect(
    ruled([shot(1, { ...seen, condition: { sourcesOn: ['U2'], sourcesOff: ['U3'] } })], { sources: fed }).reason,
  ).toBe('not exercised');
  // a source that cannot reach the band needs not run
  expect(ruled([shot(1, seen)], { sources: [sources[0]!, handSource('U9', 12e6)] }).ruling).toBe('holds');
  // sources may run one after the other
  const second = { ...QUIET, condition: { sourcesOn: ['U2'] } };
  expect(ruled([shot(1, seen), shot(2, second)], { sources }).ruling).toBe('holds');
  // but each in a capture that by itself shows the band
  expect(ruled([shot(1, seen), shot(2, { ...second, stopHz: 2.5e6 })], { sources }).reason).toBe('not exercised');
});

test('what falls short does so whether or not everything ran', () => {
  const sources = [handSource('U1', 300e3), handSource('U2', 700e3)];
  expect(ruled([shot(1, lineAt(2.4e6, -70, { source: 'U1', harmonic: 8 }))], { sources }).ruling).toBe('falls short');
});

test('modes, temperatures and points are judged each by itself', () => {
  const requirement = handRequirement({
    modes: ['sounding', 'idle'],
    temperatures: [
      { lowC: 15, highC: 30 },
      { lowC: -45, highC: -35 },
    ],
  });
  const { verdicts, coverage } = judged(
    [
      shot(1, { ...QUIET, condition: { mode: 'Sounding', temperatureC: 22 } }),
      shot(2, { ...lineAt(2.51e6, -70), condition: { mode: 'sounding', temperatureC: -40 } }),
    ],
    { requirements: [requirement] },
  );
  expect(verdicts.map(({ mode, temperature, ruling }) => [mode, temperature!.lowC, ruling])).toEqual([
    ['sounding', 15, 'holds'],
    ['sounding', -45, 'falls short'],
    ['idle', 15, 'not shown'],
    ['idle', -45, 'not shown'],
  ]);
  expect(coverage.gaps).toBe(2);
  expect(coverage.cells.filter(({ isRequired }) => isRequired)).toHaveLength(4);
});

test('without points named a requirement is judged at the receiver ports alone', () => {
  const probe = shot(2, { ...lineAt(2.51e6, -20), point: { name: 'sniffer', kind: 'near-field-probe' } });
  const { verdicts, coverage } = judged([shot(1, QUIET), probe]);
  expect(verdicts.map(({ point }) => point)).toEqual([PORT.name]);
  // what was measured elsewhere still stands in the matrix
  expect(coverage.points).toEqual([PORT.name, 'sniffer']);
});

test('evidence is inherited from an earlier state only where nothing was fixed and no item changed', () => {
  const item = (serial: string) => [{ item: 'power board', serial, revision: 'A', detail: '' }];
  const at = { stateId: 2, captures: [shot(1, QUIET)] };
  const judgedAt = (states: ReturnType<typeof handState>[], more = {}) =>
    ruled(at.captures, { stateId: 2, states, ...more });
  expect(judgedAt([handState(1, null, item('P1')), handState(2, 1, item('P1'))])).toMatchObject({
    ruling: 'holds',
    captureIds: [1],
  });
  expect(
    judgedAt([handState(1, null, item('P1')), handState(2, 1, item('P1'))], { fixes: [handFix(1, 1, 2)] }),
  ).toMatchObject({
    reason: 'not measured',
    why: expect.stringContaining('fix 1') as string,
  });
  const swapped = [handState(1, null, item('P1')), handState(2, 1, item('P2'))];
  const verdict = judgedAt(swapped);
  expect(verdict).toMatchObject({ ruling: 'not shown', reason: 'changed item' });
  expect(verdict.why).toContain('power board P1');
  const accepted = handDisposition({
    kind: 'changed-item',
    item: 'power board',
    fromSerial: 'P1 rev A',
    toSerial: 'P2 rev A',
  });
  expect(judgedAt(swapped, { dispositions: [accepted] })).toMatchObject({ ruling: 'holds', dispositionIds: [1] });
  expect(judgedAt(swapped, { dispositions: [{ ...accepted, expiresOn: '2026-03-31' }] }).reason).toBe('changed item');
});

test('an accepted line does not decide, until it grows, expires, or the build is another', () => {
  const requirements = [handRequirement({ limit: 'own' })];
  const subject = {
    kind: 'line' as const,
    source: 'U1',
    harmonic: 8,
    frequencyHz: 2.4e6,
    levelDb: -72,
    levelSigmaDb: 0.2,
    unit: 'dBm',
  };
  const at = (db: number, dispositions = [handDisposition(subject)], more = {}) =>
    judged([shot(1, lineAt(2.4e6, db, { source: 'U1', harmonic: 8 }))], {
      limits: [AN_ABSOLUTE],
      requirements,
      dispositions,
      ...more,
    });
  expect(at(-72).verdicts[0]).toMatchObject({ ruling: 'holds', dispositionIds: [1] });
  expect(at(-72).dispositions).toMatchObject([{ standing: 'in force' }]);
  // 1.645·√(0.2² + 0.2² + 2·1²) = 2.37 dB may be noise and set-up
  expect(at(-69.7).verdicts[0]).toMatchObject({ ruling: 'holds' });
  const grown = at(-69.5);
  expect(grown.verdicts[0]).toMatchObject({ ruling: 'falls short', dispositionIds: [] });
  expect(grown.dispositions).toMatchObject([
    { standing: 'grown', why: expect.stringContaining('grown by 2.5 dB') as string },
  ]);
  expect(at(-72, [handDisposition(subject, { expiresOn: '2026-03-31' })]).dispositions).toMatchObject([
    { standing: 'expired' },
  ]);
  expect(at(-72, [handDisposition(subject, { expiresOn: '2026-04-01' })]).verdicts[0]!.ruling).toBe('holds');
  const scope = { serials: ['RX-9'], modes: [], bands: [], points: [], temperature: null };
  expect(at(-72, [handDisposition(subject, { scope })]).dispositions).toMatchObject([{ standing: 'not this build' }]);
  expect(
    at(-72, [handDisposition(subject, { scope: { ...scope, serials: [], bands: ['other'] } })]).verdicts[0]!.ruling,
  ).toBe('falls short');
  expect(at(-72, [handDisposition({ ...subject, harmonic: 9 })])).toMatchObject({
    verdicts: [{ ruling: 'falls short' }],
    dispositions: [{ standing: 'nothing to accept' }],
  });
  const states = [handState(1, null), handState(2, null)];
  expect(at(-72, [handDisposition(subject, { fromStateId: 2 })], { states }).dispositions).toMatchObject([
    { standing: 'not this build' },
  ]);
});

test('accepting a line clears no channel: it is still lost', () => {
  const subject = {
    kind: 'line' as const,
    source: null,
    harmonic: null,
    frequencyHz: 2.51e6,
    levelDb: -80,
    levelSigmaDb: 0.2,
    unit: 'dBm',
  };
  const verdict = ruled([shot(1, { ...lineAt(2.51e6, -80), ...FINE })], {
    requirements: [handRequirement({ demand: { kind: 'clean-channels', atLeast: 1, as: 'share' } })],
    dispositions: [handDisposition(subject)],
  });
  expect(verdict).toMatchObject({ ruling: 'falls short', found: 49, foundHigh: 49, allowed: 50, unit: 'channels' });
});

test('a source accepted as not running in one mode must still have run in another', () => {
  const sources = [handSource('U2', 700e3)];
  const subject = { kind: 'not-exercised' as const, source: 'U2' };
  const scope = { serials: [], modes: ['sounding'], bands: [], points: [], temperature: null };
  const { verdicts } = judged(
    ['sounding', 'idle'].map((mode, i) => shot(i + 1, { ...QUIET, condition: { mode } })),
    {
      sources,
      requirements: [handRequirement({ modes: ['sounding', 'idle'] })],
      dispositions: [handDisposition(subject, { scope })],
    },
  );
  expect(verdicts.map(({ ruling }) => ruling)).toEqual(['holds', 'not shown']);
});

test('a line from outside, or of the measuring kit, hides the build instead of failing it', () => {
  const capture = shot(1, lineAt(2.51e6, -70));
  for (const cause of ['ambient', 'instrument'] as const) {
    const triage = { ...capture.triaged.triage, explanations: [{ cause, candidates: [], why: '' }] };
    expect(ruled([{ ...capture, triaged: { ...capture.triaged, triage } }])).toMatchObject({
      ruling: 'not shown',
      reason: 'masked',
    });
  }
});

test('the skirt of a strong line outside the band hides what may stand under it inside', () => {
  expect(ruled([shot(1, lineAt(3.005e6, -40))])).toMatchObject({ ruling: 'not shown', reason: 'masked' });
});

test('a clean-channel requirement counts with the doubt against the build', () => {
  const lines = [2.11e6, 2.31e6, 2.51e6].map((hz) => ({ hz, db: -80 }));
  const need = (atLeast: number) =>
    ruled([shot(1, { lines, ...FINE })], {
      requirements: [handRequirement({ demand: { kind: 'clean-channels', atLeast, as: 'count' } })],
    });
  expect(need(47)).toMatchObject({ ruling: 'holds', found: 47, foundLow: 47, foundHigh: 47, margin: 0 });
  expect(need(48)).toMatchObject({ ruling: 'falls short', margin: -1 });
  const share = ruled([shot(1, { lines, ...FINE })], {
    requirements: [handRequirement({ demand: { kind: 'clean-channels', atLeast: 0.94, as: 'share' } })],
  });
  expect(share).toMatchObject({ ruling: 'holds', allowed: 47 });
  // half a capture: what it does not cover may be anything
  const half = ruled([shot(1, { lines, ...FINE, stopHz: 2.6e6, points: 641 })], {
    requirements: [handRequirement({ demand: { kind: 'clean-channels', atLeast: 40, as: 'count' } })],
  });
  expect(half).toMatchObject({ ruling: 'not shown', reason: 'not measured', foundHigh: 47 });
});

test('a line folded or mixed into the band counts at its image, and images never measured leave it not shown', () => {
  const sampled = { bands: [handBand({ sampleRateHz: 5.4e6 })] };
  const fold = shot(1, { ...lineAt(2.9e6, -70), startHz: 1e6, stopHz: 11e6 });
  // 5.4 − 2.9 = 2.5 MHz: the line folds into the band, which is itself inside 2–3 MHz
  const verdict = ruled([fold], sampled);
  expect(verdict.ruling).toBe('falls short');
  const mixed = { bands: [handBand({ localOscillatorHz: 5e6 })] };
  const image = ruled([shot(1, lineAt(7.49e6, -70))], mixed);
  expect(image).toMatchObject({ ruling: 'falls short', decidedBy: { frequencyHz: 7.49e6 } });
  expect(image.decidedBy!.inBandHz).toBeCloseTo(2.51e6, 0);
  const uncovered = ruled([shot(1, { ...QUIET, stopHz: 6e6, points: 1001 })], mixed);
  expect(uncovered).toMatchObject({ ruling: 'not shown', reason: 'not measured' });
  // a stated filter is trusted where nothing was measured, and takes its share off what was
  const filtered = { bands: [handBand({ localOscillatorHz: 5e6, imageRejectionDb: 40 })] };
  expect(ruled([shot(1, { ...QUIET, stopHz: 6e6, points: 1001 })], filtered).ruling).toBe('holds');
  expect(ruled([shot(1, lineAt(7.49e6, -70))], filtered).ruling).toBe('holds');
});

test('integration lowers what is allowed over the floor by 5·log10(B·t), and the capture must reach it', () => {
  const band = handBand({ integrationS: 2000, allowedOverFloorDb: 0 });
  const verdict = ruled([shot(1, lineAt(2.51e6, -80))], { bands: [band] });
  // floor in 20 kHz: −100 + 10·log10(20/10.645) = −97.26; 5·log10(20e3·2000) = 38.01 dB
  expect(verdict.allowed).toBeCloseTo(-97.26 - 38.01, 1);
  expect(ruled([shot(1, QUIET)], { bands: [band] })).toMatchObject({
    ruling: 'not shown',
    reason: 'not sensitive enough',
  });
});

test('leakage of the channels’ own response spoils neighbours', () => {
  const counted = (channelResponse: 'sharp' | 'hann' | 'rectangular') =>
    judged([shot(1, { ...lineAt(2.51e6, -70), ...FINE })], { bands: [handBand({ channelResponse })] }).costs[0]!;
  expect(counted('sharp')).toMatchObject({ channels: 50, spoiled: 1, clean: 49 });
  // 20 dB over: Hann falls by 20 dB within 1.6 channels of a line in the middle of its own: one neighbour each side
  expect(counted('hann').spoiled + counted('hann').doubtful).toBe(3);
  // 1/(πd) falls by 18.3 dB in 2.6 channels, by 21.7 dB in 3.9
  expect(counted('rectangular')).toMatchObject({ spoiled: 5, doubtful: 2 });
});

test('clipped samples and axes that count from nowhere never pass', () => {
  expect(ruled([shot(1, { ...QUIET, settings: { clippedSamples: 3 } })])).toMatchObject({ reason: 'cannot tell' });
  const offset = shot(1, QUIET);
  const trace = { ...offset.triaged.trace, axis: 'offset' as const };
  expect(ruled([{ ...offset, triaged: { ...offset.triaged, trace } }])).toMatchObject({ reason: 'cannot tell' });
});

test('fix next ranks by channels that come back, apart for what is ours and what only a constraint can cure', () => {
  const sources = [handSource('U1', 100e3), handSource('U2', 130e3), handSource('H1', 150e3, { owner: 'host' })];
  const lines = [
    { hz: 2.11e6, db: -80, source: 'U1', harmonic: 21 },
    { hz: 2.31e6, db: -80, source: 'U1', harmonic: 23 },
    { hz: 2.35e6, db: -80, source: 'U2', harmonic: 18 },
    // both in one channel: it comes back only if both are silent
    { hz: 2.505e6, db: -80, source: 'U1', harmonic: 25 },
    { hz: 2.515e6, db: -80, source: 'U2', harmonic: 19 },
    { hz: 2.55e6, db: -80, source: 'H1', harmonic: 17 },
    { hz: 2.71e6, db: -80 },
  ];
  const { fixNext, costs } = judged([shot(1, { lines, rbwHz: 2.5e3, points: 8001 })], {
    sources,
    bands: [handBand({ weight: 2 })],
  });
  expect(costs).toMatchObject([{ channels: 50, spoiled: 6, clean: 44, cleanShare: 0.88 }]);
  expect(fixNext.ours).toMatchObject([
    { source: 'U1', soleChannels: 2, sharedChannels: 1, gain: 4 },
    { source: 'U2', soleChannels: 1, sharedChannels: 1, gain: 2 },
  ]);
  expect(fixNext.constraints).toMatchObject([{ source: 'H1', soleChannels: 1 }]);
  expect(fixNext.unnamed).toMatchObject([{ source: null, soleChannels: 1 }]);
  expect(fixNext.together).toMatchObject([
    { source: 'U1', channels: 2, left: 4 },
    { source: 'U2', channels: 2, left: 2 },
  ]);
});

test('an engineer’s decision moves a line’s cost to the decided source, decides who owns it, and is said by name', () => {
  const sources = [handSource('U1', 100e3), handSource('U2', 130e3, { owner: 'host' })];
  const lines = [
    { hz: 2.11e6, db: -80, source: 'U1', harmonic: 21 },
    { hz: 2.31e6, db: -80 },
    { hz: 2.51e6, db: -75 },
  ];
  const capture = shot(1, { lines, rbwHz: 2.5e3, points: 8001, condition: { sourcesOn: ['U1', 'U2'] } });
  const decision = (id: number, frequencyHz: number, more: Partial<Decision>): Decision => ({
    id,
    captureId: 1,
    frequencyHz,
    kind: 'reassign',
    source: null,
    harmonic: null,
    note: '',
    by: 'A. Hart',
    at: '2026-03-03T09:00:00Z',
    ...more,
  });
  const before = judged([capture], { sources });
  expect(before.fixNext.ours).toMatchObject([{ source: 'U1', soleChannels: 1 }]);
  expect(before.fixNext.unnamed).toMatchObject([{ source: null, soleChannels: 2 }]);
  const decisions = [
    decision(1, 2.51e6, { source: 'U2' }),
    decision(2, 2.11e6, { kind: 'reject' }),
    decision(3, 2.31e6, { source: 'U1', harmonic: 23 }),
  ];
  const after = judged([{ ...capture, decisions }], { sources });
  expect(after.fixNext.ours).toMatchObject([{ source: 'U1', soleChannels: 1, decidedBy: ['A. Hart'] }]);
  expect(after.fixNext.constraints).toMatchObject([{ source: 'U2', soleChannels: 1, decidedBy: ['A. Hart'] }]);
  expect(after.fixNext.unnamed).toMatchObject([{ source: null, soleChannels: 1, decidedBy: ['A. Hart'] }]);
  const [verdict] = after.verdicts;
  expect(verdict).toMatchObject({ ruling: 'falls short', decidedBy: { source: 'U2', harmonic: 19 } });
  expect(verdict!.why).toContain('U2 × 19 (decided by A. Hart) at 2.51');
  expect(before.verdicts[0]!.why).toContain('a line nobody explains');
  // what was said of the lines says nothing of the channels
  expect(after.costs).toEqual(before.costs);
  expect(judged([{ ...capture, decisions: [...decisions].reverse() }], { sources })).toEqual(after);
});

test('a decision whose line is gone is said among the warnings, with its file', () => {
  const decisions: Decision[] = [
    {
      id: 1,
      captureId: 1,
      frequencyHz: 2.7e6,
      kind: 'confirm',
      source: 'U1',
      harmonic: 27,
      note: '',
      by: '',
      at: '2026-03-03T09:00:00Z',
    },
  ];
  const { warnings } = judged([{ ...shot(1, QUIET), decisions }]);
  expect(warnings).toContain(
    '1.csv: the decision of an engineer at 2.700000 MHz (confirm) changes nothing: no line stands there any more',
  );
});

test('what holds, and what falls short, says the confidence it does so with', () => {
  expect(ruled([shot(1, QUIET)]).why).toMatch(/dB below the .* allowed at 95 % confidence\.$/);
  expect(ruled([shot(1, lineAt(2.51e6, -80))]).why).toContain('at 95 % confidence');
  const settings = { ...DEFAULT_VERDICT_SETTINGS, confidence: 0.99 };
  expect(ruled([shot(1, QUIET)], { settings }).why).toContain('at 99 % confidence');
  expect(judged([shot(1, QUIET)], { settings }).sentence).toContain('counted against the build at 99 % confidence');
});

test('the same inputs give the same judgement', () => {
  const once = () => judged([shot(1, lineAt(2.51e6, -80)), shot(2, QUIET)]);
  expect(once()).toEqual(once());
});

test('an event after the state is said beside its evidence', () => {
  const events = [
    {
      id: 1,
      kind: 'vibration' as const,
      description: 'random, three axes',
      at: '2026-03-02T10:00:00Z',
      afterStateId: 1,
    },
  ];
  expect(judged([shot(1, QUIET)], { events }).warnings.join()).toContain('vibration: random, three axes');
});
