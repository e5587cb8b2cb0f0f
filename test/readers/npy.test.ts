import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';
import type { ReadingHints } from '../../src-main/model/reading-hints.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { hasScipy, NO_SCIPY, python } from '../scipy.ts';
import { ascii, npy, numbers } from './build.ts';

const read = (bytes: Uint8Array, hints: ReadingHints = {}) => readCapture(bytes, 'a.npy', new Map(), hints);
const header = (descr: string, shape: string, fortran = 'False') =>
  `{'descr': '${descr}', 'fortran_order': ${fortran}, 'shape': (${shape}), }\n`;
const counted = (n: number, f: (i: number) => number) => Array.from({ length: n }, (_, i) => f(i));

describe('readCapture(.npy)', () => {
  test('levels with a first frequency and a step are a spectrum', () => {
    const bytes = npy(header('<f8', '4,'), numbers('f64', [-90, -80.5, NaN, -91]));
    const [trace] = read(bytes, { startHz: 1e6, stepHz: 12.5e3, unit: 'dBm' }).traces;
    expect([...trace!.frequencyHz]).toEqual([1e6, 1_012_500, 1_025_000, 1_037_500]);
    expect([...trace!.level]).toEqual([-90, -80.5, NaN, -91]);
    expect(trace!.unit.name).toBe('dBm');
  });

  test('rows of levels are a waterfall: the mean is one of power, the last row stands beside it', () => {
    const bytes = npy(header('<f4', '3, 2'), numbers('f32', [-90, 0, -90, 10, -90, 10]));
    const { traces, waterfalls } = read(bytes, { startHz: 0, stepHz: 1, unit: 'dBm' });
    expect(waterfalls![0]).toMatchObject({ rows: 3 });
    expect(traces[0]!.level[0]).toBeCloseTo(-90, 9);
    // (1 + 10 + 10) / 3 = 7: 8.451 dB
    expect(traces[0]!.level[1]).toBeCloseTo(10 * Math.log10(7), 6);
    expect([...traces[1]!.level]).toEqual([-90, 10]);
    expect(traces[0]!.settings.averages).toBeNull();
  });

  test('Fortran order is the same array the other way round', () => {
    const c = npy(header('<i2', '2, 3'), numbers('i16', [1, 2, 3, 4, 5, 6]));
    const f = npy(header('<i2', '2, 3', 'True'), numbers('i16', [1, 4, 2, 5, 3, 6]));
    const hints = { startHz: 5, stepHz: 5, unit: 'dBm' };
    expect(read(f, hints).waterfalls![0]!.level).toEqual(read(c, hints).waterfalls![0]!.level);
  });

  test('a first column that rises is the axis, by rows or by columns, if it is too large for seconds or the user says what it is', () => {
    const f = counted(8, (i) => 1e6 + i * 1e3);
    const l = counted(8, (i) => -90 + i);
    const lying = npy(header('<f8', '2, 8'), numbers('f64', [...f, ...l]));
    const upright = npy(
      header('>f8', '8, 2'),
      numbers(
        'f64',
        f.flatMap((x, i) => [x, l[i]!]),
        true,
      ),
    );
    for (const bytes of [lying, upright]) {
      const { traces, warnings } = read(bytes);
      expect([...traces[0]!.frequencyHz]).toEqual(f);
      expect([...traces[0]!.level]).toEqual(l);
      expect(warnings.join()).toMatch(/no unit; it is taken to be in Hz/);
    }
    const small = npy(
      header('<f8', '8, 2'),
      numbers(
        'f64',
        counted(16, (i) => (i % 2 === 0 ? i / 8 : 1)),
      ),
    );
    expect(() => read(small)).toThrow(/frequencies or times/);
    expect(read(small, { axisIs: 'time' }).recordings![0]!.sampleRateHz).toBe(4);
    expect(read(small, { axisIs: 'frequency', frequencyFactor: 1e6 }).traces[0]!.frequencyHz[7]).toBe(1.75e6);
  });

  test('records are columns by their names', () => {
    const descr =
      "{'descr': [('level_dbm', '<f4'), ('frequency_khz', '<f8')], 'fortran_order': False, 'shape': (3,), }\n";
    const parts = counted(3, (i) => i).map((i) => [...numbers('f32', [-50 - i]), ...numbers('f64', [100 + i])]);
    const [trace] = read(npy(descr, Uint8Array.from(parts.flat()))).traces;
    expect([...trace!.frequencyHz]).toEqual([100e3, 101e3, 102e3]);
    expect([...trace!.level]).toEqual([-50, -51, -52]);
    expect(trace!.unit.name).toBe('dBm');
  });

  test('complex numbers are samples and need a sample rate; whole numbers are scaled to their full scale', () => {
    const complex = npy(header('<c16', '3,'), numbers('f64', [1, 2, 3, 4, 5, 6]), 2);
    expect(() => read(complex)).toThrow(/sample rate/);
    const [recording] = read(complex, { sampleRateHz: 2e6 }).recordings!;
    expect([...readSamples(recording!, bytesInMemory(complex), 0, 1, 9).imaginary!]).toEqual([4, 6]);
    const whole = npy(header('<i2', '2,'), numbers('i16', [16_384, -32_768]));
    const [scaled] = read(whole, { sampleRateHz: 10 }).recordings!;
    expect([...readSamples(scaled!, bytesInMemory(whole), 0, 0, 2).real]).toEqual([0.5, -1]);
  });

  test.each([
    ['numbers without an axis', npy(header('<f8', '4,'), numbers('f64', [1, 2, 3, 4])), /without an axis/],
    ['fewer numbers than the shape', npy(header('<f8', '4,'), numbers('f64', [1, 2])), /16 bytes of data.*32/],
    [
      'a shape beyond all memory',
      npy(header('<f8', '99999999999, 99999999999'), numbers('f64', [1])),
      /8 bytes of data/,
    ],
    ['Python objects', npy(header('|O', '1,'), ascii('cos\nsystem')), /“\|O”/],
    ['text', npy(header('<U8', '1,'), new Uint8Array(32)), /“<U8”/],
    ['three dimensions', npy(header('<f8', '1, 2, 1'), numbers('f64', [1, 2])), /3 dimensions/],
    ['nothing', npy(header('<f8', '0,'), new Uint8Array(0)), /no numbers/],
    [
      'records in blanks that no list closes',
      npy(
        `{'descr': [${"('a', '<f8')     ".repeat(3000)}x], 'fortran_order': False, 'shape': (3,)}`,
        new Uint8Array(9),
      ),
      /no kind of number/,
    ],
    ['another version', npy(header('<f8', '1,'), numbers('f64', [1]), 9 as 1), /version 9/],
    [
      'a header that goes on beyond the file',
      npy(header('<f8', '1,'), new Uint8Array(0)).subarray(0, 30),
      /end of the file/,
    ],
  ])('%s are refused', (_, bytes, found) => {
    expect(() => read(bytes)).toThrow(found);
  });

  test.skipIf(!hasScipy)(
    `arrays that NumPy writes come back: kinds, byte orders, orders, versions (${hasScipy ? 'present' : NO_SCIPY})`,
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'spurledger-npy-'));
      const sums = python<Record<string, number[]>>(
        folder,
        `
import numpy as np, os
rng = np.random.default_rng(2)
out = {}
for kind in ['<f4', '>f4', '<f8', '>f8', '<i2', '>i4', '<u2', '|u1', '|i1', '>i8']:
    for order in 'CF':
        for version in [(1, 0), (2, 0), (3, 0)]:
            x = np.asarray(rng.integers(0, 100, (5, 40)), dtype=kind, order=order)
            name = f'{kind[1:]}{"le" if kind[0] in "<|" else "be"}{order}{version[0]}.npy'
            with open(os.path.join(data, name), 'wb') as f: np.lib.format.write_array(f, x, version=version)
            out[name] = x.astype(float).ravel().tolist()
print(json.dumps(out))`,
      );
      for (const [name, values] of Object.entries(sums)) {
        const bytes = new Uint8Array(readFileSync(join(folder, name)));
        const { waterfalls } = read(bytes, { startHz: 1, stepHz: 1, unit: 'V' });
        expect([...waterfalls![0]!.level], name).toEqual(values);
      }
      expect(Object.keys(sums)).toHaveLength(60);
      rmSync(folder, { recursive: true });
    },
  );
});
