import { expect, test } from 'vitest';
import { thinRows } from '../../src-main/api/steps/thin-rows.ts';
import type { Waterfall } from '../../src-main/model/waterfall.ts';
import { ascii } from '../readers/build.ts';
import { seeded } from '../readers/mutate.ts';
import { startApi } from './running-api.ts';

const waterfall = (rows: number, frequencyHz: number[], at: (r: number, i: number) => number): Waterfall => ({
  label: '',
  frequencyHz: Float64Array.from(frequencyHz),
  rows,
  level: Float64Array.from({ length: rows * frequencyHz.length }, (_, k) =>
    at(Math.floor(k / frequencyHz.length), k % frequencyHz.length),
  ),
  unit: { name: 'dBm', scale: 'decibel', perHz: false },
  rowStartS: null,
  takenAt: null,
});

test('thinRows(waterfall) that fits is the waterfall itself, each point in the middle of its column', () => {
  const thin = thinRows(
    waterfall(2, [10, 20, 30], (r, i) => 10 * r + i),
    { rows: 9, columns: 9 },
  );
  expect(thin).toMatchObject({ rows: 2, columns: 3, lowHz: 5, highHz: 35 });
  expect([...thin.levelDb]).toEqual([0, 1, 2, 10, 11, 12]);
});

test('thinRows keeps the largest level of each cell: no line and no burst is lost', () => {
  const random = seeded(1);
  for (let t = 0; t < 20; t++) {
    const n = 30 + Math.floor(random() * 100);
    const rows = 5 + Math.floor(random() * 60);
    const [burst, line] = [Math.floor(random() * rows), Math.floor(random() * n)];
    const full = waterfall(
      rows,
      Array.from({ length: n }, (_, i) => 1000 + i),
      (r, i) => (r === burst && i === line ? 50 : -random()),
    );
    const { levelDb, rows: shown, columns } = thinRows(full, { rows: 7, columns: 13 });
    expect([shown, columns]).toEqual([Math.min(7, rows), 13]);
    const at = levelDb.indexOf(50);
    expect(Math.floor(at / columns)).toBe(Math.floor((burst * shown) / rows));
    expect(levelDb.filter((level) => level === 50)).toHaveLength(1);
    expect(levelDb.every((level) => !Number.isNaN(level))).toBe(true);
  }
});

test('a cell without a value has none; uneven axes leave no holes', () => {
  const thin = thinRows(
    waterfall(1, [0, 1, 100], (_, i) => [5, NaN, 7][i]!),
    { rows: 1, columns: 3 },
  );
  expect([...thin.levelDb]).toEqual([5, 5, 7]);
  expect([
    ...thinRows(
      waterfall(1, [0, 1], () => NaN),
      { rows: 1, columns: 2 },
    ).levelDb,
  ]).toEqual([NaN, NaN]);
});

test('rowsOverTime gives the sweeps of a file, the rows of a recording, and null for a spectrum', async () => {
  const { api } = startApi();
  const sweeps = Array.from(
    { length: 20 },
    (_, s) =>
      `2026-03-01, 10:00:${10 + s}, 1000, 2000, 100, 1, ${Array.from({ length: 10 }, (_, i) => -80 - ((i + s) % 5)).join(', ')}\n`,
  ).join('');
  const a = await api.captureAdd({ file: 'sweeps.csv', bytes: ascii(sweeps), jobId: 'a' });
  const rows = (await api.rowsOverTime({ captureId: a.capture.id, rows: 10, columns: 400, jobId: 'r' }))!;
  expect(rows).toMatchObject({ rows: 10, columns: 10, rowsInFile: 20 });
  expect([...rows.rowStartS!]).toEqual([0, 2, 4, 6, 8, 10, 12, 14, 16, 18]);

  const scope =
    'Time (s),A (V)\n' +
    Array.from({ length: 20_000 }, (_, i) => `${(i * 1e-5).toFixed(5)},${Math.sin(i * i * 1e-4).toFixed(4)}`).join(
      '\n',
    );
  const b = await api.captureAdd({ file: 'scope.csv', bytes: ascii(scope), jobId: 'b' });
  const made = (await api.rowsOverTime({ captureId: b.capture.id, rows: 16, columns: 100, jobId: 's' }))!;
  expect(made.rows).toBeGreaterThan(4);
  expect(made.highHz).toBeGreaterThan(45_000);

  const spectrum = 'Frequency (Hz),Level (dBm)\n' + Array.from({ length: 30 }, (_, i) => `${1000 + i},-80`).join('\n');
  const c = await api.captureAdd({ file: 'plain.csv', bytes: ascii(spectrum), jobId: 'c' });
  expect(await api.rowsOverTime({ captureId: c.capture.id, rows: 10, columns: 10, jobId: 't' })).toBeNull();
});
