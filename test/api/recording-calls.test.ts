import { describe, expect, test } from 'vitest';
import { DEFAULT_SPECTRUM_SETTINGS } from '../../src-main/model/spectrum-settings.ts';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';
import { sha256 } from '../../src-main/register/blobs.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { SOURCE } from '../report/sample-triage.ts';
import { startApi } from './running-api.ts';
import { comb, smallCapture } from './small-capture.ts';
import { chunk, joined, sigmfMeta, wav as wavOf } from '../readers/build.ts';
import { wav } from './wav.ts';
import { apiProblemOf } from '../../src-main/api/api-problem.ts';

const settings = DEFAULT_SPECTRUM_SETTINGS;
const table = {
  id: null,
  name: 'pad',
  kind: 'attenuation' as const,
  frequencyHz: [1, 1e9],
  valueDb: [20, 20],
  uncertaintyDb: [0.3, 0.3],
  units: null,
  source: 'certificate 12',
  date: '2026-01-31',
  dueOn: null,
};
const problemOf = (promise: Promise<unknown>) =>
  promise.then(
    () => null,
    (error: unknown) => apiProblemOf(error),
  );

describe('recordings', () => {
  const tones = [{ frequencyHz: 10_000, peak: 0.1 }];
  const bytes = wav({ samples: 2 ** 17, sampleRateHz: 64_000, tones, noise: 1e-8 });

  test('a WAV is taken in as a spectrum and triaged; its recording can be asked for', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    expect(capture.traces[0]).toMatchObject({ startHz: 0, unit: { name: 'dBFS' } });
    const { spurs } = await api.triageRun({ captureId: capture.id, jobId: 't' });
    const strongest = spurs.reduce((a, b) => (a.levelDb > b.levelDb ? a : b));
    expect(strongest.frequencyHz).toBeCloseTo(10_000, 1);
    expect(Math.abs(strongest.levelDb + 20)).toBeLessThan(0.05);
    expect(await api.recordingList({ captureId: capture.id })).toMatchObject([
      { complex: false, sampleRateHz: 64_000, sampleCount: 2 ** 17, durationS: 2.048, channels: [{ unit: 'FS' }] },
    ]);
  });

  test('the plan says RBW and the bins that follow, or why there are none', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    const plan = (change: object) =>
      api.spectrumPlan({ captureId: capture.id, recording: 0, settings: { ...settings, ...change } });
    expect(await plan({ window: 'hann', rbwHz: 48, overlap: 0.5 })).toMatchObject({
      windowPoints: 2000,
      transformPoints: 2048,
      points: 1024,
      segments: 130,
      sentence: 'RBW = ENBW × fs / N = 1.5 × 64000 Hz / 2000 = 48 Hz',
      problem: null,
    });
    expect((await plan({ rbwHz: 0.1 })).problem).toMatch(/Found 2.048 s of record; expected at least 20.04 s/);
    expect((await plan({ toS: 9 })).problem).toMatch(/outside the record/);
    expect(await problemOf(api.spectrumPlan({ captureId: capture.id, recording: 1, settings }))).toMatchObject({
      kind: 'refused',
    });
  });

  test('another spectrum of the same record becomes a trace of its own that is analysed, and undo takes it back', async () => {
    const { api, events } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    const before = (await api.triageRun({ captureId: capture.id, jobId: 't' })).floor;
    const changed = { ...settings, window: 'flat-top' as const, rbwHz: 200, voltsPerUnit: 2, impedanceOhm: 50 };
    const made = await api.spectrumRun({
      captureId: capture.id,
      recording: 0,
      channel: 0,
      settings: changed,
      jobId: 's',
    });
    expect(made.traceIndex).toBe(1);
    expect(made.traces[1]).toMatchObject({
      label: 'channel 1, flat-top, RBW 200 Hz, 66 % overlap',
      unit: { name: 'dBm' },
    });
    expect(made.traces[1]!.settings.rbwHz).toBeCloseTo(200, 0);
    expect(await api.triageGet({ captureId: capture.id })).toBeNull();
    const { spurs, floor } = await api.triageRun({ captureId: capture.id, jobId: 't2' });
    // 0.1 of full scale, 2 V a unit: 0.2 V peak, 0.02 V² across 50 Ω is −3.98 dBm
    expect(Math.abs(Math.max(...spurs.map(({ levelDb }) => levelDb)) + 3.979)).toBeLessThan(0.05);
    expect(floor.averages).not.toBe(before.averages);
    expect(events.some(({ name, event }) => name === 'progress' && 'jobId' in event && event.jobId === 's')).toBe(true);
    await api.undo({});
    expect((await api.captureList({}))[0]).toMatchObject({ traceIndex: 0 });
    expect((await api.captureList({}))[0]!.traces).toHaveLength(1);
  });

  test('a waterfall has the rows and columns asked for', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    const made = await api.waterfallRun({
      captureId: capture.id,
      recording: 0,
      channel: 0,
      settings,
      rows: 16,
      columns: 100,
      jobId: 'w',
    });
    expect(made.rows).toBeLessThanOrEqual(17);
    expect(made.levelDb).toHaveLength(made.rows * made.frequencyHz.length);
    expect(made.frequencyHz.length).toBeLessThanOrEqual(100);
  });

  test.each([
    ['r.sigmf-meta', 'r.sigmf-data'],
    ['r.sigmf-data', 'r.sigmf-meta'],
  ])('of a pair taken in as %s the other half is kept: its record can be asked again', async (file, other) => {
    const { api } = startApi();
    const meta = sigmfMeta({ 'core:datatype': 'rf32_le', 'core:sample_rate': 64_000 });
    const data = bytes.slice(44);
    const of = (name: string): Uint8Array => (name.endsWith('meta') ? meta : data);
    const { capture } = await api.captureAdd({
      file,
      bytes: of(file),
      companions: [{ file: other, bytes: of(other) }],
      jobId: 'a',
    });
    expect(capture.beside).toEqual([{ file: other, sha256: sha256(of(other)), bytes: of(other).length, isKept: true }]);
    expect(await api.recordingList({ captureId: capture.id })).toMatchObject([{ sampleCount: 2 ** 17 }]);
    const again = await api.spectrumRun({
      captureId: capture.id,
      recording: 0,
      channel: 0,
      settings: { ...settings, rbwHz: 100 },
      jobId: 's',
    });
    expect(again.traces).toHaveLength(2);
    const { rows } = await api.waterfallRun({
      captureId: capture.id,
      recording: 0,
      channel: 0,
      settings,
      rows: 10,
      columns: 10,
      jobId: 'w',
    });
    expect(rows).toBeGreaterThan(1);
    expect(await api.rowsOverTime({ captureId: capture.id, rows: 10, columns: 10, jobId: 'r' })).not.toBeNull();
    const what = { of: 'annotations' as const, captureId: capture.id, as: 'sigmf-meta' as const };
    const exported = JSON.parse((await api.exportRun({ what, jobId: 'e' })).text) as { annotations: unknown[] };
    expect(exported.annotations.length).toBeGreaterThan(0);
  });

  test('a capture that holds spectra has no recordings', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'a' });
    expect(await api.recordingList({ captureId: capture.id })).toEqual([]);
  });
});

describe('a recording in time', () => {
  /** A tone of 9 kHz, on for 20 ms every 100 ms during the odd seconds, as 32-bit floats. */
  const pulsed = (): Uint8Array => {
    const bytes = wav({ samples: 6 * 64_000, sampleRateHz: 64_000, noise: 1e-6 });
    const view = new DataView(bytes.buffer);
    for (let n = 0; n < 6 * 64_000; n++) {
      if (n % 6400 >= 1280 || Math.floor(n / 64_000) % 2 === 0) continue;
      const tone = 0.1 * Math.cos((2 * Math.PI * 9000 * n) / 64_000);
      view.setFloat32(44 + 4 * n, view.getFloat32(44 + 4 * n, true) + tone, true);
    }
    return bytes;
  };

  test('bursts are found, a spectrum of them alone is kept, and a mode log agrees at its own offset only', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'pulsed.wav', bytes: pulsed(), jobId: 'a' });
    const chosen = { captureId: capture.id, recording: 0, channel: 0 };
    const structure = await api.timeStructure({ ...chosen, stepS: 1e-3, jobId: 't' });
    expect(structure.bursts).toHaveLength(30);
    expect(structure.repetition!.rateHz).toBeCloseTo(10, 1);

    const asked = { ...settings, window: 'flat-top' as const, rbwHz: 400 };
    const gated = { which: 'on' as const, stepS: 1e-3 };
    const made = await api.spectrumRun({ ...chosen, settings: asked, gated, jobId: 's' });
    expect(made.traces[1]!.label).toMatch(/bursts only$/);
    const { spurs } = await api.triageRun({ captureId: capture.id, jobId: 'r' });
    expect(Math.abs(Math.max(...spurs.map(({ levelDb }) => levelDb)) + 20)).toBeLessThan(0.2);

    const rows = Array.from({ length: 7 }, (_, second) => `${100 + second},${second % 2 === 0 ? 'idle' : 'fetch'}`);
    const text = ['time_s,value', ...rows].join('\n');
    const log = { ...chosen, stepS: 0.1, file: 'modes.csv', text, jobId: 'l' };
    const good = await api.timeAgreement({ ...log, offsetS: -100 });
    expect(good.correlation).toBeGreaterThan(0.9);
    expect(good.why).toMatch(/^The envelope goes with the log .* \+[23]\d\.\d dB where the log is high\.$/);
    expect((await api.timeAgreement({ ...log, offsetS: -100.5 })).chance).toBeGreaterThan(0.05);
    expect((await api.timeAgreement({ ...log, offsetS: 0 })).correlation).toBeNull();
    const backwards = { ...log, file: 'm.csv', text: 'time_s,value\n2,1\n1,1\n', offsetS: 0 };
    expect((await problemOf(api.timeAgreement(backwards)))!.message).toMatch(
      /m\.csv, line 3, column time_s: found 1 after 2/,
    );
  });
});

describe('calibration', () => {
  test('a chain raises levels and spurs, goes with the capture, makes results stale when a table changes, and comes off again', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({
      file: 'a.csv',
      bytes: smallCapture({ lines: comb(303_000, 25) }),
      jobId: 'a',
    });
    const ids = { captureIds: [capture.id] };
    const plain = await api.triageRun({ captureId: capture.id, jobId: 't' });
    const pad = await api.calibrationPut(table);
    const chain = await api.chainPut({ id: null, name: 'bench', tableIds: [pad.id], notes: '' });
    const [summary] = await api.captureCalibrate({ ...ids, chainId: chain.id, transferId: null });
    expect(summary).toMatchObject({ calibration: { chainId: chain.id, transferId: null } });
    expect(await api.triageGet({ captureId: capture.id })).toBeNull();
    const raised = await api.triageRun({ captureId: capture.id, jobId: 't2' });
    expect(raised.spurs).toHaveLength(plain.spurs.length);
    for (const [i, { levelDb }] of raised.spurs.entries()) expect(levelDb).toBeCloseTo(plain.spurs[i]!.levelDb + 20, 6);
    const columns = await api.traceColumns({
      captureId: capture.id,
      traceIndex: 0,
      lowHz: 0,
      highHz: 1e9,
      columns: 10,
    });
    expect(columns.maximumDb.reduce((a, b) => Math.max(a, b))).toBeGreaterThan(-60);

    await api.calibrationPut({ ...table, id: pad.id, valueDb: [10, 10] });
    expect(await api.triageGet({ captureId: capture.id })).toBeNull();
    const again = await api.traceColumns({ captureId: capture.id, traceIndex: 0, lowHz: 0, highHz: 1e9, columns: 10 });
    expect(again.maximumDb[3]).toBeCloseTo(columns.maximumDb[3]! - 10, 6);

    await api.captureCalibrate({ ...ids, chainId: null, transferId: null });
    expect((await api.triageRun({ captureId: capture.id, jobId: 't3' })).spurs).toEqual(plain.spurs);
  });

  test('a triage says what the chain adds to the doubt of each level, and which table leaves it unsaid', async () => {
    const { api } = startApi();
    const lines = comb(303_000, 25);
    const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture({ lines }), jobId: 'a' });
    const ids = { captureIds: [capture.id], transferId: null };
    const triage = (jobId: string) => api.triageRun({ captureId: capture.id, jobId });
    expect(await triage('t0')).not.toHaveProperty('chain');
    const pad = await api.calibrationPut({ ...table, uncertaintyDb: [0.3, 0.3] });
    const cable = await api.calibrationPut({ ...table, name: 'cable', kind: 'loss', uncertaintyDb: [0.4, 0.4] });
    const bare = await api.calibrationPut({ ...table, name: 'bare', kind: 'loss', uncertaintyDb: null });
    const through = async (tableIds: number[], jobId: string) => {
      const chain = await api.chainPut({ id: null, name: jobId, tableIds, notes: '' });
      await api.captureCalibrate({ ...ids, chainId: chain.id });
      return (await triage(jobId)).chain!;
    };
    const both = await through([pad.id, cable.id], 't1');
    expect(both).toMatchObject({ unstated: [], isStated: true });
    expect(both.sigmaDb).toHaveLength((await api.triageGet({ captureId: capture.id }))!.spurs.length);
    // 3, 4, 5: independent uncertainties add in quadrature
    for (const sigma of both.sigmaDb) expect(sigma).toBeCloseTo(0.5, 12);
    expect(await through([pad.id, bare.id], 't2')).toMatchObject({ unstated: ['bare'], isStated: true });
    expect(await through([bare.id], 't3')).toMatchObject({ unstated: ['bare'], isStated: false });
  });

  test('a chain that does not fit a capture is refused and nothing is kept', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'a' });
    const far = await api.calibrationPut({ ...table, frequencyHz: [1e10, 2e10] });
    const chain = await api.chainPut({ id: null, name: 'bench', tableIds: [far.id], notes: '' });
    const refusal = await problemOf(
      api.captureCalibrate({ captureIds: [capture.id], chainId: chain.id, transferId: null }),
    );
    expect(refusal!.message).toMatch(/a factor is not guessed beyond its rows/);
    expect((await api.captureList({}))[0]!.calibration).toBeUndefined();
  });

  test('a probe reading is relative until its point has a transfer, whose versions count up', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'a' });
    const probe = {
      name: 'coil',
      kind: 'near-field-probe',
      where: '',
      coupling: '',
      conductors: '',
      orientation: '',
    } as const;
    const point = await api.pointPut({ ...probe, id: null, heightM: null, bonding: '', notes: '' });
    await api.captureAssign({ captureIds: [capture.id], pointId: point.id });
    const meaning = async () => (await api.captureMeaning({ captureId: capture.id })).meaning;
    expect(await meaning()).toMatchObject({ meaning: 'relative' });
    const transfer = {
      pointId: point.id,
      frequencyHz: [1e3, 1e9],
      valueDb: [-35, -30],
      uncertaintyDb: [3, 3],
      units: { from: 'dBm', to: 'dBm' },
      source: 'injected at the connector',
      date: '2026-01-31',
    };
    expect((await api.transferAdd(transfer)).version).toBe(1);
    const second = await api.transferAdd({ ...transfer, valueDb: [-36, -31] });
    expect(second).toMatchObject({ version: 2, by: 'tester' });
    await api.captureCalibrate({ captureIds: [capture.id], chainId: null, transferId: second.id });
    expect(await meaning()).toMatchObject({ meaning: 'absolute', why: expect.stringMatching(/version 2/) as string });
    expect(await api.transferList({ pointId: point.id })).toHaveLength(2);
  });

  test('a transfer is read from rows, or as the forward gain of a two-port from the point to the receiver', async () => {
    const { api } = startApi();
    const point = await api.pointPut({
      id: null,
      name: 'J3',
      kind: 'supply-line',
      where: '',
      coupling: '',
      conductors: '',
      orientation: '',
      heightM: null,
      bonding: '',
      notes: '',
    });
    const head = {
      pointId: point.id,
      units: { from: 'dBm', to: 'dBm' },
      source: 'two-port measurement, connector to connector',
      date: '2026-01-31',
    };
    const text = (lines: string[]) => new TextEncoder().encode(lines.join('\n'));
    // forward gain S21 in the second pair, reverse S12 in the third: −42 dB and not −60 dB lead to the receiver
    const twoPort = text(['# MHz S DB R 50', '1 -30 0 -42 0 -60 0 -30 0', '30 -25 0 -31 0 -60 0 -25 0']);
    const first = await api.transferImport({ ...head, file: 'j3.s2p', bytes: twoPort });
    expect(first).toMatchObject({ version: 1, by: 'tester', frequencyHz: [1e6, 3e7], uncertaintyDb: null });
    for (const [i, db] of [-42, -31].entries()) expect(first.valueDb[i]).toBeCloseTo(db, 9);
    const rows = text(['frequency_hz,value_db,uncertainty_db', '1e3,-40,2', '1e9,-30,3']);
    const second = await api.transferImport({ ...head, file: 'j3.csv', bytes: rows });
    expect(second).toMatchObject({ version: 2, valueDb: [-40, -30], uncertaintyDb: [2, 3] });

    const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'a' });
    await api.captureAssign({ captureIds: [capture.id], pointId: point.id });
    const asked = { captureId: capture.id, traceIndex: 0, lowHz: 0, highHz: 1e9, columns: 1 };
    const before = (await api.traceColumns(asked)).maximumDb[0]!;
    await api.captureCalibrate({ captureIds: [capture.id], chainId: null, transferId: second.id });
    const fall = (await api.traceColumns(asked)).maximumDb[0]! - before;
    expect(fall).toBeGreaterThan(-40);
    expect(fall).toBeLessThan(-30);

    const bad = text(['frequency_hz,value_db', '2e6,1', '1e6,1']);
    expect((await problemOf(api.transferImport({ ...head, file: 'x.csv', bytes: bad })))!.message).toMatch(
      /1000000 Hz after 2000000 Hz in row 2/,
    );
    expect(await api.transferList({ pointId: point.id })).toHaveLength(2);
    expect(await problemOf(api.transferImport({ ...head, pointId: 99, file: 'j3.csv', bytes: rows }))).toMatchObject({
      kind: 'refused',
    });
  });

  test('a known tone tells whether the chain is as stated', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({
      file: 'a.csv',
      bytes: smallCapture({ lines: [[1_000_000, 30]] }),
      jobId: 'a',
    });
    const pad = await api.calibrationPut(table);
    const chain = await api.chainPut({ id: null, name: 'bench', tableIds: [pad.id], notes: '' });
    await api.captureCalibrate({ captureIds: [capture.id], chainId: chain.id, transferId: null });
    const check = (levelDb: number) =>
      api.chainCheckTone({ captureId: capture.id, frequencyHz: 1e6, levelDb, sigmaDb: 0.2 });
    // −90 dBm floor, 30 dB over it, 20 dB of pad
    expect(await check(-40)).toMatchObject({ agrees: true, unit: 'dBm' });
    expect(await check(-43)).toMatchObject({ agrees: false });
    expect(
      await problemOf(api.chainCheckTone({ captureId: capture.id, frequencyHz: 1e9, levelDb: 0, sigmaDb: 0 })),
    ).toMatchObject({ kind: 'refused' });
  });

  test('a table is read from rows and from a two-port file, whose gain is a loss the other way round', async () => {
    const { api } = startApi();
    const { id: _, frequencyHz: _f, valueDb: _v, uncertaintyDb: _u, ...head } = table;
    const text = (lines: string[]) => new TextEncoder().encode(lines.join('\n'));
    const rows = text(['frequency_hz,value_db,uncertainty_db', '1e6,0.2,0.05', '3e7,1.1,0.1']);
    expect(await api.calibrationImport({ ...head, name: 'a', file: 'cable.csv', bytes: rows })).toMatchObject({
      frequencyHz: [1e6, 3e7],
      valueDb: [0.2, 1.1],
      uncertaintyDb: [0.05, 0.1],
    });
    const twoPort = text(['# MHz S DB R 50', '1 -30 0 -0.5 0 -0.5 0 -30 0', '30 -25 0 -1.5 0 -1.5 0 -25 0']);
    const imported = (kind: 'loss' | 'gain') =>
      api.calibrationImport({ ...head, kind, name: kind, file: 'cable.s2p', bytes: twoPort });
    const [loss, gain] = [(await imported('loss')).valueDb, (await imported('gain')).valueDb];
    for (const [i, db] of [0.5, 1.5].entries()) {
      expect(loss[i]).toBeCloseTo(db, 9);
      expect(gain[i]).toBeCloseTo(-db, 9);
    }
    const bad = text(['frequency_hz,value_db', '2e6,1', '1e6,1']);
    expect(
      (await problemOf(api.calibrationImport({ ...head, name: 'b', file: 'x.csv', bytes: bad })))!.message,
    ).toMatch(/1000000 Hz after 2000000 Hz in row 2/);
  });
});

describe('the doubt of a chain', () => {
  test('is in the ± of every level that is handed out, and in that of a change only between unlike chains', async () => {
    const { api } = startApi();
    const add = async (file: string, seed: number) =>
      (await api.captureAdd({ file, bytes: smallCapture({ lines: comb(303_000, 25), seed }), jobId: file })).capture.id;
    const [a, b] = [await add('a.csv', 1), await add('b.csv', 2)];
    const chainOf = async (name: string, sigma: number) => {
      const { id } = await api.calibrationPut({ ...table, name, uncertaintyDb: [sigma, sigma] });
      return (await api.chainPut({ id: null, name, tableIds: [id], notes: '' })).id;
    };
    const [one, two] = [await chainOf('one', 0.6), await chainOf('two', 0.8)];
    const through = (id: number, chainId: number) =>
      api.captureCalibrate({ captureIds: [id], chainId, transferId: null });
    await through(a, one);
    const { spurs } = await api.triageRun({ captureId: a, jobId: 't' });
    const exported = async (as: 'csv' | 'json') =>
      (await api.exportRun({ what: { of: 'spurs', captureId: a, as }, jobId: 'e' })).text;
    const document = JSON.parse(await exported('json')) as {
      spurs: { level_sigma_db: number; level_sigma_of_chain_db: number }[];
    };
    const rows = (await exported('csv')).trimEnd().split('\n').slice(1);
    const last = (line: string): number => Number(line.slice(line.lastIndexOf(',') + 1));
    expect(document.spurs).toHaveLength(spurs.length);
    for (const [i, spur] of document.spurs.entries()) {
      expect(spur.level_sigma_of_chain_db).toBeCloseTo(0.6, 12);
      expect(spur.level_sigma_db).toBeCloseTo(Math.hypot(spurs[i]!.levelSigmaDb, 0.6), 12);
      expect([Number(rows[i]!.split(',')[3]), last(rows[i]!)]).toEqual([
        spur.level_sigma_db,
        spur.level_sigma_of_chain_db,
      ]);
    }

    const tracks = async () => {
      const asked = { beforeCaptureIds: [a], afterCaptureIds: [b], jobId: 'c' };
      const view = await api.compareRun(asked);
      const what = { of: 'tracks' as const, as: 'csv' as const, beforeCaptureIds: [a], afterCaptureIds: [b] };
      const [head, first] = (await api.exportRun({ what, jobId: 'e' })).text.split('\n');
      const fromEnd = (name: string) => head!.split(',').indexOf(name) - head!.split(',').length;
      // the reasons before them may hold commas
      const cell = (name: string) => Number(first!.split(',').at(fromEnd(name)));
      return { change: view.tracks[0]!.changeSigmaDb!, warnings: view.warnings, cell };
    };
    await through(b, one);
    const same = await tracks();
    expect(same.warnings.join()).not.toContain('calibration chain differs');
    expect(same.cell('before_level_sigma_db')).toBeGreaterThan(0.6);
    await through(b, two);
    const apart = await tracks();
    expect(apart.warnings.join()).toContain('calibration chain differs: one before, two after');
    // 0.6 and 0.8 dB together are 1 dB
    expect(apart.change ** 2 - same.change ** 2).toBeCloseTo(1, 6);
    expect(apart.cell('after_level_sigma_db')).toBeGreaterThan(0.8);
  });
});

describe('a capture by the payload’s own receiver', () => {
  test('carries gain state, clipping count and channel response, whose effect comes off again without reading anew', async () => {
    const { api } = startApi();
    const bytes = wav({
      samples: 2 ** 16,
      sampleRateHz: 64_000,
      channels: 2,
      tones: [{ frequencyHz: 8000, peak: 0.1 }],
      noise: 1e-8,
    });
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a', hints: { centreHz: 10e6 } });
    const ids = { captureIds: [capture.id] };
    const [assigned] = await api.captureAssign({ ...ids, condition: { gainState: 'high' } });
    expect(assigned!.condition.gainState).toBe('high');
    const strongest = async (jobId: string) => {
      const { spurs } = await api.triageRun({ captureId: capture.id, jobId });
      return spurs.reduce((a, b) => (a.levelDb > b.levelDb ? a : b));
    };
    const plain = await strongest('t');
    const rows = new TextEncoder().encode('offset_hz,value_db,uncertainty_db\n-32000,20,0.3\n0,24,0.3\n32000,16,0.3\n');
    const { id: _, frequencyHz: _f, valueDb: _v, uncertaintyDb: _u, ...head } = table;
    const channel = {
      ...head,
      kind: 'channel' as const,
      name: 'channel A',
      file: 'a.csv',
      bytes: rows,
      gainState: 'low',
    };
    const response = await api.calibrationImport(channel);
    expect(response).toMatchObject({ axis: 'offset', gainState: 'low', frequencyHz: [-32_000, 0, 32_000] });
    const chain = await api.chainPut({ id: null, name: 'receiver', tableIds: [response.id], notes: '' });
    await api.captureCalibrate({ ...ids, chainId: chain.id, transferId: null });
    // at 8 kHz the channel gives 24 − 8/4 = 22 dB
    expect((await strongest('t2')).levelDb).toBeCloseTo(plain.levelDb - 22, 2);
    const problems = await api.fitToCompare({ beforeCaptureIds: [capture.id], afterCaptureIds: [] });
    expect(problems).toContainEqual(expect.objectContaining({ weight: 'refuses', name: 'gain state' }));
    const { text } = await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'json' }, jobId: 'e' });
    expect(JSON.parse(text)).toMatchObject({ settings: { channel_response: 'channel A' } });
    await api.captureCalibrate({ ...ids, chainId: null, transferId: null });
    expect(await strongest('t3')).toEqual(plain);
  });

  test('offsets and gain states belong to a channel’s response and to nothing else', async () => {
    const { api } = startApi();
    const wrong = await problemOf(api.calibrationPut({ ...table, axis: 'offset' }));
    expect(wrong!.message).toContain('receiver’s channel only');
    expect(await problemOf(api.calibrationPut({ ...table, gainState: 'low' }))).not.toBeNull();
    expect(await api.calibrationPut({ ...table, kind: 'channel', gainState: 'low' })).toMatchObject({
      gainState: 'low',
    });
  });
});

describe('fitToCompare', () => {
  test('names what differs between the sides and what speaks against each', async () => {
    const { api } = startApi();
    const head = (rbw: number) => [`RBW,${rbw} Hz`, 'Averages,16', 'Averaging,power', 'Frequency (Hz),Level (dBm)'];
    const add = async (file: string, rbw: number, seed: number) =>
      (await api.captureAdd({ file, bytes: smallCapture({ head: head(rbw), seed }), jobId: file })).capture.id;
    const [a, b] = [await add('a.csv', 1000, 1), await add('b.csv', 300, 2)];
    const due = await api.calibrationPut({ ...table, dueOn: '2026-02-01' });
    const chain = await api.chainPut({ id: null, name: 'bench', tableIds: [due.id], notes: '' });
    await api.captureCalibrate({ captureIds: [b], chainId: chain.id, transferId: null });
    const problems = await api.fitToCompare({ beforeCaptureIds: [a], afterCaptureIds: [b] });
    expect(problems.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['calibration', 'RBW and spacing', 'RBW', 'calibration chain', 'detector']),
    );
    expect(problems.find(({ name }) => name === 'calibration')!.message).toBe(
      'b.csv: the table pad was due on 2026-02-01.',
    );
    expect(await api.fitToCompare({ beforeCaptureIds: [], afterCaptureIds: [a] })).toHaveLength(1);
  });
});

describe('exportRun', () => {
  test('a trace comes back from its own CSV with the same numbers, unit and settings', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({ file: 'runs/a.csv', bytes: smallCapture({ points: 500 }), jobId: 'a' });
    const { file, text } = await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'csv' }, jobId: 'e' });
    expect(file).toBe('a-trace.csv');
    const first = readCapture(smallCapture({ points: 500 }), 'a.csv').traces[0]!;
    const again = readCapture(new TextEncoder().encode(text), file).traces[0]!;
    expect(again.frequencyHz).toEqual(first.frequencyHz);
    expect(again.level).toEqual(first.level);
    expect(again.unit).toEqual(first.unit);
    expect(again.settings).toEqual(first.settings);
    const json = await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'json' }, jobId: 'e' });
    expect((JSON.parse(json.text) as { level: number[] }).level).toEqual([...first.level]);
  });

  test('averages that are no whole number, gain and accuracy come back as they were', async () => {
    const { api } = startApi();
    const bytes = wav({ samples: 20_000, sampleRateHz: 48_000, noise: 1e-6 });
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    const { averages } = capture.traces[0]!.settings;
    expect(Number.isInteger(averages)).toBe(false);
    const { text } = await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'csv' }, jobId: 'e' });
    expect(readCapture(new TextEncoder().encode(text), 'x.csv').traces[0]!.settings.averages).toBe(averages);

    const head = ['RBW,1000 Hz', 'Gain,20.5 dB', 'Frequency accuracy,0.25 ppm', 'Frequency (Hz),Level (dBm)'];
    const table = smallCapture({ head, points: 50 });
    const first = readCapture(table, 'b.csv').traces[0]!;
    expect(first.settings).toMatchObject({ gainDb: 20.5, frequencyAccuracyPpm: 0.25 });
    const taken = await api.captureAdd({ file: 'b.csv', bytes: table, jobId: 'b' });
    const out = await api.exportRun({ what: { of: 'trace', captureId: taken.capture.id, as: 'csv' }, jobId: 'e' });
    expect(readCapture(new TextEncoder().encode(out.text), 'x.csv').traces[0]!.settings).toEqual(first.settings);
  });

  test('a recording in many chunks gets its annotations too: each chunk is a segment behind its own header', async () => {
    const { api } = startApi();
    const samples = (from: number): Uint8Array => {
      const part = Float32Array.from(
        { length: 8192 },
        (_, n) => 0.1 * Math.cos(0.9 * (from + n)) + 1e-4 * Math.cos((n * n) % 97),
      );
      return new Uint8Array(part.buffer);
    };
    const three = [0, 8192, 16_384].map((from) => chunk('data', samples(from)));
    const format = { tag: 3, rateHz: 48_000, bits: 32 };
    const bytes = wavOf(
      format,
      three[0]!,
      chunk('LIST', new Uint8Array(10)),
      three[1]!,
      three[2]!,
      chunk('id3 ', new Uint8Array(6)),
    );
    const { capture } = await api.captureAdd({ file: 'many.wav', bytes, jobId: 'a' });
    const what = { of: 'annotations' as const, captureId: capture.id, as: 'sigmf-meta' as const };
    const { file, text } = await api.exportRun({ what, jobId: 'e' });
    const meta = JSON.parse(text) as { global: Record<string, unknown>; captures: Record<string, unknown>[] };
    expect(meta.global['core:dataset']).toBe('many.wav');
    expect(meta.captures.map((one) => one['core:sample_start'])).toEqual([0, 8192, 16_384]);
    const { recordings } = readCapture(new TextEncoder().encode(text), file, new Map([['many.wav', bytes]]));
    const read = recordings!.flatMap((one) => [...readSamples(one, bytesInMemory(bytes), 0, 0, one.sampleCount).real]);
    expect(joined(...[0, 8192, 16_384].map(samples))).toEqual(new Uint8Array(Float32Array.from(read).buffer));
    for (const one of recordings!) expect(one.annotations.length).toBeGreaterThan(0);
  });

  test('a computed spectrum with all its digits comes back to the last bit', async () => {
    const { api } = startApi();
    const bytes = wav({ samples: 20_000, sampleRateHz: 48_000, noise: 1e-6 });
    const { capture } = await api.captureAdd({ file: 'a.wav', bytes, jobId: 'a' });
    const { text } = await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'csv' }, jobId: 'e' });
    const again = readCapture(new TextEncoder().encode(text), 'x.csv').traces[0]!;
    const json = JSON.parse(
      (await api.exportRun({ what: { of: 'trace', captureId: capture.id, as: 'json' }, jobId: 'e' })).text,
    ) as { frequency_hz: number[]; level: number[]; settings: { rbw_hz: number } };
    expect([...again.frequencyHz]).toEqual(json.frequency_hz);
    expect([...again.level]).toEqual(json.level);
    expect(again.unit.name).toBe('dBFS');
    expect(again.settings.rbwHz! / json.settings.rbw_hz).toBeCloseTo(1, 12);
    expect(again.settings).toMatchObject({ rbwShape: 'noise', averaging: 'power' });
  });

  test('spurs, tracks and sources come back with the same numbers', async () => {
    const { api } = startApi();
    await api.sourcePut({ source: SOURCE, replaces: null });
    const add = async (file: string, height: number, seed: number) =>
      (await api.captureAdd({ file, bytes: smallCapture({ lines: comb(303_000, height), seed }), jobId: file })).capture
        .id;
    const [a, b] = [await add('a.csv', 25, 1), await add('b.csv', 15, 2)];
    const { spurs } = await api.triageRun({ captureId: a, jobId: 't' });
    const csv = (await api.exportRun({ what: { of: 'spurs', captureId: a, as: 'csv' }, jobId: 'e' })).text;
    const rows = csv
      .trimEnd()
      .split('\n')
      .slice(1)
      .map((line) => line.split(','));
    expect(rows.map(([hz]) => Number(hz))).toEqual(spurs.map(({ frequencyHz }) => frequencyHz));
    expect(rows.map((cells) => Number(cells[2]))).toEqual(spurs.map(({ levelDb }) => levelDb));
    const json = (await api.exportRun({ what: { of: 'spurs', captureId: a, as: 'json' }, jobId: 'e' })).text;
    expect((JSON.parse(json) as { spurs: { frequency_hz: number }[] }).spurs.map((spur) => spur.frequency_hz)).toEqual(
      spurs.map(({ frequencyHz }) => frequencyHz),
    );
    const both = { of: 'tracks', beforeCaptureIds: [a], afterCaptureIds: [b] } as const;
    const view = await api.compareRun({ beforeCaptureIds: [a], afterCaptureIds: [b], jobId: 'c' });
    const tracks = (await api.exportRun({ what: { ...both, as: 'csv' }, jobId: 'e' })).text;
    const trackRows = tracks.trimEnd().split('\n').slice(1);
    expect(trackRows.map((line) => line.split(',')[0])).toEqual(view.tracks.map(({ status }) => status));
    expect(trackRows.map((line) => Number(line.split(',')[9]))).toEqual(view.tracks.map(({ changeDb }) => changeDb));
    const compared = JSON.parse((await api.exportRun({ what: { ...both, as: 'json' }, jobId: 'e' })).text) as {
      schema: string;
      tracks: { change_db: number }[];
    };
    expect(compared.schema).toBe('spurledger.compare/1');
    expect(compared.tracks.map((track) => track.change_db)).toEqual(view.tracks.map(({ changeDb }) => changeDb));

    const sources = await api.exportRun({ what: { of: 'sources', as: 'csv' }, jobId: 'e' });
    const before = (await api.sourceList({})).map(({ source }) => source);
    await api.sourceImport({ file: sources.file, text: sources.text, replaceAll: true });
    expect((await api.sourceList({})).map(({ source }) => source)).toEqual(before);
    const sourceJson = await api.exportRun({ what: { of: 'sources', as: 'json' }, jobId: 'e' });
    expect(JSON.parse(sourceJson.text)).toMatchObject({
      sources: [{ designator: SOURCE.designator, nominal_hz: SOURCE.nominalHz }],
    });
  });

  test('exported tracks are those that were shown: repeats as stated, and lines that an earlier step had cleared are back', async () => {
    const { api } = startApi();
    await api.sourcePut({ source: SOURCE, replaces: null });
    let parentId: number | null = null;
    const states: number[] = [];
    for (const name of ['S0', 'S1', 'S2']) {
      const head = { id: null, name, description: '', at: '2026-01-31T10:00:00Z', configuration: [] };
      const state = await api.statePut({ ...head, parentId });
      parentId = state.id;
      states.push(state.id);
    }
    const add = async (stateId: number, height: number | null, seed: number) => {
      const lines = height === null ? [] : comb(303_000, height);
      const file = `${stateId}-${seed}.csv`;
      const { capture } = await api.captureAdd({ file, bytes: smallCapture({ lines, seed }), jobId: file });
      await api.captureAssign({ captureIds: [capture.id], stateId });
      return capture.id;
    };
    await add(states[0]!, 25, 1);
    const beforeCaptureIds = [await add(states[1]!, null, 2)];
    const afterCaptureIds = [await add(states[2]!, 25, 3), await add(states[2]!, 22, 4)];
    const sides = { beforeCaptureIds, afterCaptureIds, repeats: 're-rigged' as const };
    const view = await api.compareRun({ ...sides, jobId: 'c' });
    expect(view.tracks.some(({ status }) => status === 'back')).toBe(true);
    const { text } = await api.exportRun({ what: { of: 'tracks', ...sides, as: 'csv' }, jobId: 'e' });
    const rows = text.trimEnd().split('\n').slice(1);
    expect(rows.map((line) => line.split(',')[0])).toEqual(view.tracks.map(({ status }) => status));
    const sigma = (cell: string | undefined) => (cell === '' ? null : Number(cell));
    expect(rows.map((line) => sigma(line.split(',')[10]))).toEqual(
      view.tracks.map(({ changeSigmaDb }) => changeSigmaDb),
    );
  });

  test('a plot is one SVG that names capture and range; a range without points is refused', async () => {
    const { api } = startApi();
    const { capture } = await api.captureAdd({
      file: 'a <b>.csv',
      bytes: smallCapture({ lines: [[1e6, 30]] }),
      jobId: 'a',
    });
    const plot = (lowHz: number, highHz: number) =>
      api.exportRun({ what: { of: 'plot', captureId: capture.id, as: 'svg', lowHz, highHz }, jobId: 'e' });
    const { text } = await plot(0, 1e9);
    expect(text).toMatch(/^<\?xml version="1.0" encoding="UTF-8"\?>\n<svg xmlns="http:\/\/www.w3.org\/2000\/svg"/);
    expect(text).toMatch(/Spectrum of a &lt;b&gt;.csv from 100/);
    expect(await problemOf(plot(1e8, 1e9))).toMatchObject({ kind: 'refused' });
  });

  test('the spurs of a recording become SigMF annotations that the reader gives back', async () => {
    const { api } = startApi();
    const bytes = wav({
      samples: 2 ** 16,
      sampleRateHz: 64_000,
      tones: [{ frequencyHz: 10_000, peak: 0.1 }],
      noise: 1e-8,
    });
    const { capture } = await api.captureAdd({ file: 'tone.wav', bytes, jobId: 'a' });
    const { file, text } = await api.exportRun({
      what: { of: 'annotations', captureId: capture.id, as: 'sigmf-meta' },
      jobId: 'e',
    });
    expect(file).toBe('tone.sigmf-meta');
    // the samples stay in the file they are in, which the metadata name
    const companions = new Map([['tone.wav', { length: bytes.length }]]);
    const [recording] = readCapture(new TextEncoder().encode(text), file, companions).recordings!;
    const { spurs } = await api.triageRun({ captureId: capture.id, jobId: 't' });
    expect(recording!.annotations).toHaveLength(spurs.length);
    expect(recording!.annotations.some(({ lowHz, highHz }) => lowHz! < 10_000 && 10_000 < highHz!)).toBe(true);
    const spectra = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'b' });
    expect(
      await problemOf(
        api.exportRun({ what: { of: 'annotations', captureId: spectra.capture.id, as: 'sigmf-meta' }, jobId: 'e' }),
      ),
    ).toMatchObject({ kind: 'refused' });
  });
});
