import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { ReadingHints } from '../../src-main/model/reading-hints.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { ascii, card, fitsUnit, joined, numbers } from './build.ts';

const read = (bytes: Uint8Array, hints: ReadingHints = {}) => readCapture(bytes, 'a.fits', new Map(), hints);
const image = (bits: number, shape: readonly number[], ...more: string[]) => [
  card('SIMPLE', true),
  card('BITPIX', bits),
  card('NAXIS', shape.length),
  ...shape.map((extent, a) => card(`NAXIS${a + 1}`, extent)),
  ...more,
];
const frequencyAxis = (n: number) => [
  card(`CTYPE${n}`, 'FREQ'),
  card(`CUNIT${n}`, 'kHz'),
  card(`CRVAL${n}`, 100),
  card(`CRPIX${n}`, 1),
  card(`CDELT${n}`, 2),
];
const empty = fitsUnit([card('SIMPLE', true), card('BITPIX', 8), card('NAXIS', 0)]);
const table = (
  rowBytes: number,
  rows: number,
  fields: readonly [string, string, string?][],
  data: Uint8Array,
  ...more: string[]
) =>
  joined(
    empty,
    fitsUnit(
      [
        card('XTENSION', 'BINTABLE'),
        card('BITPIX', 8),
        card('NAXIS', 2),
        card('NAXIS1', rowBytes),
        card('NAXIS2', rows),
        card('PCOUNT', 0),
        card('GCOUNT', 1),
        card('TFIELDS', fields.length),
        ...fields.flatMap(([name, format, unit], f) => [
          card(`TTYPE${f + 1}`, name),
          card(`TFORM${f + 1}`, format),
          ...(unit === undefined ? [] : [card(`TUNIT${f + 1}`, unit)]),
        ]),
        ...more,
      ],
      data,
    ),
  );

describe('readCapture(FITS)', () => {
  test('an image of one axis is a spectrum: scaled, with blanks, on the axis of its keywords', () => {
    const cards = image(
      16,
      [4],
      ...frequencyAxis(1),
      card('BSCALE', 0.5),
      card('BZERO', -100),
      card('BLANK', -1),
      card('BUNIT', 'dBm'),
    );
    const [trace] = read(fitsUnit(cards, numbers('i16', [20, -1, 0, 40], true))).traces;
    expect([...trace!.frequencyHz]).toEqual([100e3, 102e3, 104e3, 106e3]);
    expect([...trace!.level]).toEqual([-90, NaN, -100, -80]);
    expect(trace!.unit.name).toBe('dBm');
  });

  test('the reference pixel counts from 1 and may lie anywhere (FITS Standard 4.0, section 8.2)', () => {
    const cards = image(
      -64,
      [3],
      card('CTYPE1', 'FREQ'),
      card('CUNIT1', 'MHz'),
      card('CRVAL1', 10),
      card('CRPIX1', 2),
      card('CDELT1', 0.5),
    );
    expect([...read(fitsUnit(cards, numbers('f64', [1, 2, 3], true))).traces[0]!.frequencyHz]).toEqual([
      9.5e6, 10e6, 10.5e6,
    ]);
  });

  test('an axis that falls is turned round with its levels', () => {
    const cards = image(
      -32,
      [3],
      card('CTYPE1', 'FREQ'),
      card('CUNIT1', 'MHz'),
      card('CRVAL1', 9),
      card('CRPIX1', 1),
      card('CDELT1', -1),
      card('BUNIT', 'dBm'),
    );
    const { traces, warnings } = read(fitsUnit(cards, numbers('f32', [1, 2, 3], true)));
    expect([...traces[0]!.frequencyHz]).toEqual([7e6, 8e6, 9e6]);
    expect([...traces[0]!.level]).toEqual([3, 2, 1]);
    expect(warnings.join()).toMatch(/turned round/);
  });

  test.each([1, 2])('a waterfall with the frequency on axis %d gives the same rows', (n) => {
    const time = (a: number) => [
      card(`CTYPE${a}`, 'TIME'),
      card(`CUNIT${a}`, 's'),
      card(`CRVAL${a}`, 50),
      card(`CRPIX${a}`, 1),
      card(`CDELT${a}`, 0.5),
    ];
    // 3 frequencies, 2 times
    const values = n === 1 ? [1, 2, 3, 4, 5, 6] : [1, 4, 2, 5, 3, 6];
    const cards = image(8, n === 1 ? [3, 2] : [2, 3], ...frequencyAxis(n), ...time(3 - n), card('BUNIT', 'V'));
    const { waterfalls, traces } = read(fitsUnit(cards, Uint8Array.from(values)));
    expect([...waterfalls![0]!.level]).toEqual([1, 2, 3, 4, 5, 6]);
    expect([...waterfalls![0]!.rowStartS!]).toEqual([0, 0.5]);
    // volts are averaged as power
    expect(traces[0]!.level[0]).toBeCloseTo(Math.sqrt((1 + 16) / 2), 12);
  });

  test('a table of frequencies is believed over the linear axis of the image', () => {
    const axis = table(24, 1, [['FREQUENCY', '3D', 'MHz']], numbers('f64', [3, 2, 2], true)).subarray(2880);
    const cards = image(8, [3, 2], ...frequencyAxis(1));
    const { traces, warnings } = read(joined(fitsUnit(cards, Uint8Array.from([1, 2, 3, 4, 5, 6])), axis));
    expect([...traces[0]!.frequencyHz]).toEqual([2e6, 3e6]);
    expect([...traces[1]!.level]).toEqual([5, 4]);
    expect(warnings.join()).toMatch(/1 of 3 points state a frequency that a neighbour has/);
  });

  test('a table of rows: scaled columns, missing whole numbers, units of both', () => {
    const data = joined(
      ...[0, 1, 2].map((i) => joined(numbers('f64', [500 - i], true), numbers('i16', [i === 1 ? -999 : 40 + i], true))),
    );
    const bytes = table(
      10,
      3,
      [
        ['FREQUENCY', '1D', 'kHz'],
        ['LEVEL', '1I', 'dBuV'],
      ],
      data,
      card('TSCAL2', 0.5),
      card('TZERO2', 1),
      card('TNULL2', -999),
    );
    const [trace] = read(bytes).traces;
    expect([...trace!.frequencyHz]).toEqual([498e3, 499e3, 500e3]);
    expect([...trace!.level]).toEqual([22, NaN, 21]);
    expect(trace!.unit.name).toBe('dBµV');
  });

  test('a spectrum a row on the axis of the column’s own keywords', () => {
    const data = joined(
      ...[0, 1].map((r) => joined(numbers('f64', [r * 2], true), numbers('f32', [r, r + 1, r + 2], true))),
    );
    const bytes = table(
      20,
      2,
      [
        ['TIME', '1D', 's'],
        ['POWER', '3E', 'dBm'],
      ],
      data,
      card('1CTYP2', 'FREQ'),
      card('1CUNI2', 'MHz'),
      card('1CRVL2', 1),
      card('1CRPX2', 1),
      card('1CDLT2', 0.25),
    );
    const { waterfalls } = read(bytes);
    expect([...waterfalls![0]!.frequencyHz]).toEqual([1e6, 1.25e6, 1.5e6]);
    expect([...waterfalls![0]!.level]).toEqual([0, 1, 2, 1, 2, 3]);
    expect([...waterfalls![0]!.rowStartS!]).toEqual([0, 2]);
  });

  test('a table of text, with implied decimals and a mark for no value', () => {
    const rows = ['  1000 -9050', '  1001  ****', '  1002 -8850'];
    const bytes = joined(
      empty,
      fitsUnit(
        [
          card('XTENSION', 'TABLE'),
          card('BITPIX', 8),
          card('NAXIS', 2),
          card('NAXIS1', 12),
          card('NAXIS2', 3),
          card('PCOUNT', 0),
          card('GCOUNT', 1),
          card('TFIELDS', 2),
          card('TTYPE1', 'FREQUENCY'),
          card('TFORM1', 'I6'),
          card('TBCOL1', 1),
          card('TUNIT1', 'Hz'),
          card('TTYPE2', 'LEVEL'),
          card('TFORM2', 'F6.2'),
          card('TBCOL2', 7),
          card('TUNIT2', 'dBm'),
          card('TNULL2', '****'),
        ],
        ascii(rows.join('')),
      ),
    );
    const [trace] = read(bytes).traces;
    expect([...trace!.frequencyHz]).toEqual([1000, 1001, 1002]);
    expect([...trace!.level]).toEqual([-90.5, NaN, -88.5]);
  });

  test('an axis that only the user knows', () => {
    const bytes = fitsUnit(image(8, [3, 2]), Uint8Array.from([1, 2, 3, 4, 5, 6]));
    expect(() => read(bytes)).toThrow(/states no frequency axis/);
    expect([...read(bytes, { startHz: 10, stepHz: 5, unit: 'dBm' }).traces[0]!.frequencyHz]).toEqual([10, 15, 20]);
  });

  test.each([
    ['data cut off', fitsUnit(image(16, [4000], ...frequencyAxis(1)), numbers('i16', [1, 2, 3])), /end of the file/],
    ['a size beyond all memory', fitsUnit(image(8, [99_999_999, 99_999_999])), /data of 9999999800000000 bytes/],
    ['a negative size', fitsUnit(image(8, [-4])), /NAXIS1 = -4/],
    ['a header without END', fitsUnit(image(8, [4])).subarray(0, 2000), /end of the file/],
    ['columns wider than their rows', table(4, 3, [['FREQUENCY', '99D']], new Uint8Array(12)), /columns of more than/],
    ['a table without frequencies', table(8, 2, [['X', '1D']], new Uint8Array(16)), /no image or table/],
  ])('%s is refused', (_, bytes, found) => {
    expect(() => read(bytes)).toThrow(found);
  });

  const astropy = ['python3', '/usr/bin/python3'].find(
    (name) => spawnSync(name, ['-c', 'import astropy.io.fits'], { timeout: 30_000 }).status === 0,
  );
  test.skipIf(astropy === undefined)(
    `files that astropy writes come back (${astropy === undefined ? 'python3 with astropy is not installed here' : 'present'})`,
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'spurledger-fits-'));
      const run = spawnSync(
        astropy!,
        [
          '-c',
          `
import json, numpy as np
from astropy.io import fits
from astropy.table import Table
rng = np.random.default_rng(3)
out = {}
for kind in ['u1', 'i2', 'i4', 'i8', 'f4', 'f8', 'u2']:
    x = rng.integers(0, 100, (6, 30)).astype(kind)
    h = fits.PrimaryHDU(x)
    h.header['CTYPE1'] = 'FREQ'; h.header['CUNIT1'] = 'MHz'; h.header['CRVAL1'] = 50.0; h.header['CRPIX1'] = 1; h.header['CDELT1'] = 0.1; h.header['BUNIT'] = 'V'
    h.writeto('${folder}/' + kind + '.fits')
    out[kind] = x.astype(float).ravel().tolist()
t = Table({'FREQUENCY': np.linspace(1, 2, 50), 'LEVEL': rng.normal(-90, 1, 50)})
t['FREQUENCY'].unit = 'MHz'
fits.BinTableHDU(t).writeto('${folder}/table.fits')
out['table'] = t['LEVEL'].tolist()
c = fits.TableHDU.from_columns([fits.Column('FREQUENCY', 'D25.17', array=np.linspace(1, 2, 50)), fits.Column('LEVEL', 'E15.7', array=np.arange(50) / 4)])
c.writeto('${folder}/text.fits')
out['text'] = (np.arange(50) / 4).tolist()
s = fits.PrimaryHDU(np.float32(rng.normal(0, 1, 20)))
s.scale('int16', 'minmax')
s.header['CTYPE1'] = 'FREQ'; s.header['CRVAL1'] = 5.0; s.header['CRPIX1'] = 1; s.header['CDELT1'] = 1.0
s.writeto('${folder}/scaled.fits')
out['scaled'] = fits.getdata('${folder}/scaled.fits').astype(float).tolist()
print(json.dumps(out))`,
        ],
        { encoding: 'utf8', timeout: 60_000 },
      );
      expect(run.stderr.replace(/.*[Ww]arning.*\n/g, '')).not.toMatch(/Error/);
      for (const [name, values] of Object.entries(JSON.parse(run.stdout) as Record<string, number[]>)) {
        const { traces, waterfalls } = read(
          new Uint8Array(readFileSync(join(folder, `${name}.fits`))),
          name === 'text' ? { frequencyFactor: 1e6 } : {},
        );
        const level = [...(waterfalls?.[0]?.level ?? traces[0]!.level)];
        level.forEach((value, i) =>
          expect(Math.abs(value - values[i]!), `${name} ${i}`).toBeLessThan(name === 'scaled' ? 1e-6 : 1e-12),
        );
        expect(level).toHaveLength(values.length);
        if (name !== 'scaled') expect(traces[0]!.frequencyHz[0]).toBe(name.startsWith('t') ? 1e6 : 50e6);
      }
      rmSync(folder, { recursive: true });
    },
  );
});
