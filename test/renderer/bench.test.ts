import { describe, expect, test } from 'vitest';
import { Bench, nearestRow } from '../../src-renderer/state/bench.svelte.ts';
import { levelRange } from '../../src-renderer/state/level-range.ts';
import { decibelUnit } from '../../src-renderer/state/trace-units.ts';
import { Fixes, STATUS_ORDER } from '../../src-renderer/state/fixes.svelte.ts';
import { fieldChanges } from '../../src-renderer/state/history.svelte.ts';
import { Jobs } from '../../src-renderer/state/jobs.svelte.ts';
import { Notices } from '../../src-renderer/state/notices.svelte.ts';
import { Opening } from '../../src-renderer/state/opening.svelte.ts';
import { RegisterStore } from '../../src-renderer/state/register.svelte.ts';
import { trackRows } from '../../src-renderer/state/track-rows.ts';
import { FakeClient } from './fake-client.ts';

async function put() {
  const client = new FakeClient();
  const register = new RegisterStore(client);
  await register.loadAll();
  const notices = new Notices();
  const jobs = new Jobs(client);
  return { client, register, notices, jobs, bench: new Bench(client, register, jobs, notices) };
}

describe('Bench', () => {
  test('a capture put on the bench shows its whole span and its spurs', async () => {
    const { bench, notices } = await put();
    // The empty bench showed another span; nothing of it may stay.
    bench.views.reset(2e6, 10e6);
    await bench.show(1);
    expect(notices.list).toEqual([]);
    expect(bench.views.isWhole).toBe(true);
    expect(bench.rows.length).toBe(bench.triage!.spurs.length);
    expect(bench.whole!.frequencyHz.length).toBeGreaterThan(100);
  });

  test('choosing a spur takes the plot there and nearer, once', async () => {
    const { bench } = await put();
    await bench.show(1);
    bench.choose(30);
    const { lowHz, highHz } = bench.views.current;
    const { frequencyHz } = bench.chosen!.spur;
    expect(frequencyHz).toBeGreaterThan(lowHz);
    expect(frequencyHz).toBeLessThan(highHz);
    expect(bench.views.isWhole).toBe(false);
    bench.choose(31);
    expect(bench.views.current.highHz - bench.views.current.lowHz).toBeCloseTo(highHz - lowHz, 3);
  });

  test('the mark stands on the chosen spur with its doubt, on the pointer without, and is taken away where it stands', async () => {
    const { bench } = await put();
    await bench.show(1);
    bench.toggleMark();
    expect(bench.mark).toBeNull();
    bench.choose(30);
    bench.toggleMark();
    expect(bench.mark).toMatchObject({ what: 'spur 31', frequencyHz: bench.chosen!.spur.frequencyHz });
    bench.toggleMark();
    expect(bench.mark).toBeNull();
    Object.assign(bench, { pointerHz: 3e6, pointerDb: -80 });
    bench.toggleMark();
    expect(bench.mark).toMatchObject({ frequencyHz: 3e6, levelDb: -80, frequencySigmaHz: null });
  });

  test('rows picked with the arrow keys are a run from where it began', async () => {
    const { bench } = await put();
    await bench.show(1);
    bench.choose(4);
    bench.extend(1);
    bench.extend(1);
    expect(bench.picked.map((row) => row.index)).toEqual([4, 5, 6]);
    bench.extend(-1);
    expect(bench.picked.map((row) => row.index)).toEqual([4, 5]);
  });

  test('walking along the axis skips what the filter leaves out', async () => {
    const { bench } = await put();
    await bench.show(1);
    bench.list.sift({ cause: 'unexplained' });
    const seen: number[] = [];
    for (let i = 0; i < 5; i++) {
      bench.stepAlong(1);
      seen.push(bench.chosen!.spur.frequencyHz);
    }
    expect(new Set(seen)).toEqual(new Set([4.4412e6, 10.5187e6, 14.991e6]));
  });

  test('after the sources change the same spur stays chosen', async () => {
    const { bench, client, register } = await put();
    await bench.show(1);
    bench.choose(40);
    const { frequencyHz } = bench.chosen!.spur;
    await client.call('sourceRemove', { designator: 'VALVE-DRV' });
    await register.refresh(['source']);
    await bench.refreshTriage(true);
    expect(bench.chosen!.spur.frequencyHz).toBe(frequencyHz);
  });

  test('panning fast asks for the latest view only', async () => {
    const { bench, client } = await put();
    await bench.show(1);
    client.calls.length = 0;
    for (let i = 0; i < 50; i++) bench.want(1e6 + i * 1e4, 5e6 + i * 1e4, 800);
    await new Promise((resolve) => setTimeout(resolve, 5));
    const asked = client.calls
      .filter((call) => call.name === 'traceColumns')
      .map((call) => (call.argument as { lowHz: number }).lowHz);
    expect(asked.length).toBeLessThanOrEqual(3);
    expect(asked.at(-1)).toBe(1e6 + 49 * 1e4);
  });

  test('an unknown unit is printed as unknown, volts as their decibels', () => {
    const trace = (name: string, scale: 'decibel' | 'amplitude') =>
      ({ unit: { name, scale, perHz: false } }) as Parameters<typeof decibelUnit>[0];
    expect(decibelUnit(trace('unknown', 'decibel'))).toContain('unknown');
    expect(decibelUnit(trace('V', 'amplitude'))).toBe('dBV');
  });

  test('nearestRow() agrees with a plain search', async () => {
    const { bench } = await put();
    await bench.show(1);
    for (let hz = 0.9e6; hz < 21e6; hz += 77_777) {
      const slow = bench.rows.reduce((a, b) =>
        Math.abs(b.spur.frequencyHz - hz) < Math.abs(a.spur.frequencyHz - hz) ? b : a,
      );
      expect(Math.abs(nearestRow(bench.rows, hz)!.spur.frequencyHz - hz)).toBe(Math.abs(slow.spur.frequencyHz - hz));
    }
    expect(nearestRow([], 1)).toBeNull();
  });

  test('the level range holds the highest line and survives blanks', async () => {
    const { bench } = await put();
    await bench.show(1);
    const whole = bench.whole!;
    const range = levelRange(whole);
    expect(range.highDb).toBeGreaterThanOrEqual(Math.max(...whole.maximumDb));
    // a held trace lies over its mean: the floor under it stays in sight
    const under = { ...whole, floorDb: whole.minimumDb.map((level) => level - 12) };
    expect(levelRange(under).lowDb).toBeLessThan(Math.min(...under.floorDb));
    const blank = new Float64Array(3).fill(NaN);
    expect(levelRange({ ...whole, minimumDb: blank, maximumDb: blank }).highDb).toBeGreaterThan(levelRange(null).lowDb);
  });
});

describe('Opening', () => {
  test('a refused file holds up no other, and says its five parts', async () => {
    const { client, jobs } = await put();
    const opening = new Opening(client, jobs);
    const captures = await opening.open([new File(['x'], 'bad.csv'), new File(['x'], 'good.csv')], 2);
    expect(captures.map((capture) => capture.file)).toEqual(['good.csv']);
    expect(opening.list.map((file) => file.outcome)).toEqual(['refused', 'understood']);
    expect(Object.keys(opening.list[0]!.problem!.problem!)).toEqual(['file', 'place', 'found', 'expected', 'wayOut']);
    expect(client.captures.at(-1)!.stateId).toBe(2);
    expect(jobs.current).toBeNull();
  });
});

describe('Fixes', () => {
  test('a step is a state and the one it came from; a capture left out counts no more', async () => {
    const { client, register, jobs, notices } = await put();
    const fixes = new Fixes(client, register, jobs, notices);
    fixes.chooseStep(3);
    expect([fixes.beforeStateId, fixes.afterStateId]).toEqual([2, 3]);
    expect(fixes.canCompare).toBe(true);
    fixes.toggle(3);
    expect(fixes.canCompare).toBe(false);
    fixes.toggle(3);
    await fixes.compare();
    expect(fixes.view!.tracks.length).toBeGreaterThan(20);
    const total = Object.values(fixes.counts).reduce((sum, n) => sum + n, 0);
    expect(total).toBe(fixes.view!.tracks.length);
  });

  test('a choice of other captures takes the old comparison away', async () => {
    const { client, register, jobs, notices } = await put();
    const fixes = new Fixes(client, register, jobs, notices);
    fixes.chooseStep(3);
    await fixes.compare();
    fixes.choose('before', 1);
    expect(fixes.view).toBeNull();
  });

  test('before a comparison it is said what speaks against it, of the captures chosen now and without being in the way', async () => {
    const { client, register, jobs, notices } = await put();
    const fixes = new Fixes(client, register, jobs, notices);
    await fixes.lookAtFit();
    expect(fixes.fit).toBeNull();
    fixes.chooseStep(3);
    const late = fixes.lookAtFit();
    fixes.choose('before', 1);
    await late;
    // the answer was about sides that are no longer chosen
    expect(fixes.fit).toBeNull();
    await fixes.lookAtFit();
    const files = [...fixes.before, ...fixes.after].map(({ file }) => file);
    expect(fixes.fit!.map(({ message }) => message.split(': ')[0])).toEqual(files);
    expect(fixes.canCompare).toBe(true);
    expect(notices.list).toEqual([]);
  });

  test('tracks are listed by status; what was not measured is a limit or a word, never a blank', async () => {
    const { bench, client } = await put();
    await bench.show(1);
    const answer = await client.call('compareRun', { beforeCaptureIds: [1], afterCaptureIds: [3], jobId: 'x' });
    if (!answer.ok) throw new Error(answer.problem.message);
    const rows = trackRows(answer.value, bench.names);
    expect(rows).toHaveLength(answer.value.tracks.length);
    const order = rows.map((row) => STATUS_ORDER.indexOf(row.track.status));
    expect(order).toEqual(order.toSorted((a, b) => a - b));
    for (const row of rows) {
      expect(row.after).not.toBe('');
      if (row.track.status === 'cleared') expect(row.after).toMatch(/^≤/);
      if (row.track.status === 'hidden') expect(row.after).toMatch(/^\?/);
    }
  });
});

describe('what is said of a drop', () => {
  test('a drop of which nothing is proven is never printed as a figure', async () => {
    const { bench, client } = await put();
    await bench.show(1);
    const answer = await client.call('compareRun', { beforeCaptureIds: [1], afterCaptureIds: [3], jobId: 'x' });
    if (!answer.ok) throw new Error(answer.problem.message);
    const hidden = {
      ...answer.value.tracks[0]!,
      status: 'hidden' as const,
      afterSpur: null,
      changeDb: null,
      changeSigmaDb: null,
    };
    const said = (atLeastDb: number | null) =>
      trackRows({ ...answer.value, tracks: [{ ...hidden, atLeastDb }] }, bench.names)[0]!.change;
    expect(said(-7.7)).toBe('none proven');
    expect(said(7.7)).toBe('at least \u22127.7');
    expect(said(null)).toBe('');
  });
});

describe('fieldChanges', () => {
  test('names only what differs, and takes a missing row for empty', () => {
    expect(fieldChanges('{"a":1,"b":"x"}', '{"a":1,"b":"y"}')).toEqual([{ field: 'b', before: 'x', after: 'y' }]);
    expect(fieldChanges(null, '{"a":1}')).toEqual([{ field: 'a', before: '', after: '1' }]);
    expect(fieldChanges('not json', null)[0]!.before).toBe('not json');
  });
});
