import { describe, expect, test } from 'vitest';
import type { Decision } from '../../src-main/model/decision.ts';
import { SourceNames } from '../../src-renderer/state/source-names.ts';
import { SpurList } from '../../src-renderer/state/spur-list.svelte.ts';
import { OPEN_SIEVE, sift, sorted, spurRows } from '../../src-renderer/state/spur-rows.ts';
import { FakeClient } from './fake-client.ts';

const client = new FakeClient();
const { triage } = client.scene(1);
const names = new SourceNames(client.sources, triage.combs);
const band = {
  name: 'II',
  lowHz: 9e6,
  highHz: 13e6,
  channelHz: 20e3,
  channelOriginHz: null,
  allowedOverFloorDb: 6,
  allowedLevel: null,
  allowedUnit: null,
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
};
const rows = spurRows(triage, names, [band], [], 'dBm');

describe('spurRows', () => {
  test('numbers spurs along the axis and gives each its tag: letter and harmonic', () => {
    expect(rows).toHaveLength(triage.spurs.length);
    expect(rows.map((row) => row.number)).toEqual(rows.map((_, i) => i + 1));
    const third = rows.find((row) => Math.abs(row.spur.frequencyHz - 3 * 409.6e3) < 100)!;
    expect(third.tag).toBe('A3');
    expect(third.word).toBe('5V-MAIN');
  });

  test('a comb that nobody owns has a tag of its own and no tint', () => {
    const row = rows.find((candidate) => candidate.cause === 'unknown-comb')!;
    expect(row.tag).toMatch(/^u1·\d+$/);
    expect(names.candidate(row.explanation.candidates[0]!).tint).toBeNull();
  });

  test('an ambiguous spur names both, an unexplained one nobody', () => {
    expect(rows.find((row) => row.cause === 'ambiguous')!.tag).toBe('B21|C50');
    expect(rows.find((row) => row.cause === 'unexplained')!.tag).toBe('nobody');
  });

  test('margin is what is allowed less the level, and null where nothing is required', () => {
    for (const row of rows) {
      const isInside = row.spur.frequencyHz >= 9e6 && row.spur.frequencyHz <= 13e6;
      if (isInside) expect(row.marginDb).toBeCloseTo(row.spur.floorDb + 6 - row.spur.levelDb, 9);
      else expect(row.marginDb).toBeNull();
    }
  });

  test('an allowed level in another unit is not applied', () => {
    const absolute = { ...band, allowedOverFloorDb: null, allowedLevel: -90, allowedUnit: 'dBm' };
    const inside = (unit: string) => spurRows(triage, names, [absolute], [], unit).find((row) => row.band !== null)!;
    expect(inside('dBm').allowedDb).toBe(-90);
    expect(inside('dBµV').allowedDb).toBeNull();
  });

  test('the latest decision near a spur is the one that holds', () => {
    const { spur } = rows[5]!;
    const decision = (id: number, kind: Decision['kind'], frequencyHz: number): Decision => ({
      id,
      captureId: 1,
      frequencyHz,
      kind,
      source: null,
      harmonic: null,
      note: '',
      by: '',
      at: '',
    });
    const decided = spurRows(
      triage,
      names,
      [],
      [
        decision(1, 'confirm', spur.frequencyHz + 20),
        decision(2, 'reject', spur.frequencyHz),
        decision(3, 'note', spur.frequencyHz + 1e6),
      ],
      'dBm',
    );
    expect(decided[5]!.decision?.id).toBe(2);
    expect(decided[5]!.standing).toBeNull();
  });

  test('a decision goes with the line it was found to mean, with how it stands', async () => {
    const view = await client.call('evidenceGet', { captureId: 1 });
    if (!view.ok || view.value === null) throw new Error('no evidence');
    const made: Decision = {
      id: 7,
      captureId: 1,
      frequencyHz: rows[5]!.spur.frequencyHz,
      kind: 'confirm',
      source: null,
      harmonic: null,
      note: '',
      by: '',
      at: '',
    };
    const standing = {
      decisionId: 7,
      spur: 6,
      foundBy: 'source and harmonic',
      standing: 'evidence disagrees',
      sentence: 'It does.',
    } as const;
    const weighed = { ...view.value, decisions: [standing] };
    const decided = spurRows(triage, names, [], [made], 'dBm', weighed);
    expect(decided[5]!.decision).toBeNull();
    expect(decided[6]).toMatchObject({ decision: { id: 7 }, standing });
  });
});

describe('sift and sorted', () => {
  test('the text filter finds numbers, tags, names and reasons', () => {
    expect(sift(rows, { ...OPEN_SIEVE, text: 'b21|c50' }).map((row) => row.cause)).toEqual(['ambiguous']);
    expect(sift(rows, { ...OPEN_SIEVE, text: 'cannot choose' })).toHaveLength(1);
    expect(sift(rows, { ...OPEN_SIEVE, text: 'no such thing' })).toHaveLength(0);
  });

  test('a source is found also where it is only one of two candidates', () => {
    const ofBus = sift(rows, { ...OPEN_SIEVE, source: 'BUS-ISO' });
    expect(ofBus.some((row) => row.cause === 'ambiguous')).toBe(true);
    expect(ofBus.every((row) => row.explanation.candidates.some((c) => c.source === 'BUS-ISO'))).toBe(true);
  });

  test('sorting neither loses nor doubles a row, whatever the key and direction', () => {
    for (const key of ['number', 'cause', 'tag', 'frequency', 'doubt', 'level', 'over', 'margin', 'decided'] as const) {
      for (const descending of [false, true]) {
        const indices = sorted(rows, key, descending).map((row) => row.index);
        expect(indices.toSorted((a, b) => a - b)).toEqual(rows.map((row) => row.index));
      }
    }
  });

  test('rows without a margin come last in both directions', () => {
    for (const descending of [false, true]) {
      const margins = sorted(rows, 'margin', descending).map((row) => row.marginDb);
      const first = margins.indexOf(null);
      expect(margins.slice(first).every((margin) => margin === null)).toBe(true);
    }
  });

  test('tags sort as people count: A3 before A12', () => {
    const tags = sorted(rows, 'tag', false).map((row) => row.tag);
    expect(tags.indexOf('A3')).toBeLessThan(tags.indexOf('A12'));
  });
});

describe('SpurList', () => {
  test('a second press on a head turns the order round; levels begin with the highest', () => {
    const list = new SpurList(() => rows);
    list.sortBy('level');
    const levels = list.shown.map((row) => row.spur.levelDb);
    expect(levels[0]).toBe(Math.max(...levels));
    list.sortBy('level');
    expect(list.shown[0]!.spur.levelDb).toBe(Math.min(...levels));
  });

  test('beside() walks the list as shown and stops at its ends', () => {
    const list = new SpurList(() => rows);
    list.sift({ cause: 'unexplained' });
    const [a, b] = list.shown;
    expect(list.beside(null, 1)).toBe(a);
    expect(list.beside(a!.index, 1)).toBe(b);
    expect(list.beside(a!.index, -1)).toBe(a);
    expect(list.beside(a!.index, 99)).toBe(list.shown.at(-1));
  });
});
