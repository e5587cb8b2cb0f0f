import type { Companions } from '../../src-main/readers/read-capture.ts';
import type { ReadingHints } from '../../src-main/model/reading-hints.ts';
import { ascii, card, chunk, fitsUnit, joined, npy, numbers, ods, sigmfMeta, tar, utf8, wav, xlsx } from './build.ts';

/** A whole file of each format and variant, to be read as it is and to be broken. */
export interface GoodFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly companions?: Companions;
  readonly hints?: ReadingHints;
}

const count = (n: number, f: (i: number) => number): number[] => Array.from({ length: n }, (_, i) => f(i));
const wave = (n: number, peak: number): number[] => count(n, (i) => Math.round(peak * Math.sin(i / 3)));

const sweepRow = (sweep: number, segment: number): string => {
  const low = 100e6 + 1e6 * segment;
  const levels = count(10, (i) => -80 - ((i * 7 + segment + sweep) % 9));
  return `2026-03-01, 10:00:${String(sweep).padStart(2, '0')}, ${low}, ${low + 1e6}, 100000.00, 20, ${levels.join(', ')}`;
};

const imageCards = [
  card('SIMPLE', true),
  card('BITPIX', 16),
  card('NAXIS', 2),
  card('NAXIS1', 20),
  card('NAXIS2', 6),
  card('CTYPE1', 'FREQ'),
  card('CUNIT1', 'MHz'),
  card('CRVAL1', 100),
  card('CRPIX1', 1),
  card('CDELT1', 0.1),
  card('BSCALE', 0.01),
  card('BUNIT', 'dBm'),
];

export const GOOD_FILES: readonly GoodFile[] = [
  {
    name: 'trace.json',
    bytes: utf8(
      JSON.stringify({
        schema: 'spurledger.trace/1',
        unit: 'dBm',
        unit_scale: 'decibel',
        settings: { rbw_hz: 1000, averages: 12.5, averaging: 'power' },
        instrument: [{ kind: 'dc', low_hz: 0, high_hz: 10, why: 'offset' }],
        frequency_hz: count(40, (i) => 1e6 + 1e3 * i),
        level: count(40, (i) => -100 - (i % 7) / 3),
      }),
    ),
  },
  { name: 'pcm.wav', bytes: wav({ bits: 16, channels: 2 }, chunk('data', numbers('i16', wave(400, 20_000)))) },
  {
    name: 'many-chunks.wav',
    bytes: wav(
      { bits: 24, extensible: true },
      ...count(12, (i) => i).flatMap((i) => [
        chunk('note', ascii('stamp')),
        chunk('data', numbers('i24', wave(30 + i, 8e6))),
      ]),
      chunk('LIST', joined('INFO', chunk('ICRD', ascii('2026-03-01')))),
    ),
  },
  { name: 'float.wav', bytes: wav({ tag: 3, bits: 32 }, chunk('data', numbers('f32', count(200, Math.sin)))) },
  {
    name: 'record.npy',
    bytes: npy("{'descr': '<c8', 'fortran_order': False, 'shape': (128,), }\n", numbers('f32', count(256, Math.cos))),
    hints: { sampleRateHz: 1e6 },
  },
  {
    name: 'rows.npy',
    bytes: npy(
      "{'descr': '>f8', 'fortran_order': True, 'shape': (20, 30), }\n",
      numbers(
        'f64',
        count(600, (i) => -90 + (i % 7)),
        true,
      ),
      2,
    ),
    hints: { startHz: 1e6, stepHz: 1e3, unit: 'dBm' },
  },
  {
    name: 'table.npy',
    bytes: npy(
      "{'descr': [('frequency_hz', '<f8'), ('level_dbm', '<f4')], 'fortran_order': False, 'shape': (40,), }\n",
      joined(...count(40, (i) => i).flatMap((i) => [numbers('f64', [1e6 + i * 1e3]), numbers('f32', [-80 - (i % 5)])])),
    ),
  },
  {
    name: 'image.fits',
    bytes: fitsUnit(
      imageCards,
      numbers(
        'i16',
        count(120, (i) => -9000 + ((i * 37) % 500)),
        true,
      ),
    ),
  },
  {
    name: 'table.fits',
    bytes: joined(
      fitsUnit([card('SIMPLE', true), card('BITPIX', 8), card('NAXIS', 0)]),
      fitsUnit(
        [
          card('XTENSION', 'BINTABLE'),
          card('BITPIX', 8),
          card('NAXIS', 2),
          card('NAXIS1', 12),
          card('NAXIS2', 30),
          card('PCOUNT', 0),
          card('GCOUNT', 1),
          card('TFIELDS', 2),
          card('TTYPE1', 'FREQUENCY'),
          card('TFORM1', '1D'),
          card('TUNIT1', 'kHz'),
          card('TTYPE2', 'LEVEL'),
          card('TFORM2', '1E'),
          card('TUNIT2', 'dBuV'),
        ],
        joined(
          ...count(30, (i) => i).flatMap((i) => [
            numbers('f64', [500 - i], true),
            numbers('f32', [20 + (i % 6)], true),
          ]),
        ),
      ),
      fitsUnit(
        [
          card('XTENSION', 'TABLE'),
          card('BITPIX', 8),
          card('NAXIS', 2),
          card('NAXIS1', 20),
          card('NAXIS2', 10),
          card('PCOUNT', 0),
          card('GCOUNT', 1),
          card('TFIELDS', 2),
          card('TTYPE1', 'FREQUENCY'),
          card('TFORM1', 'F10.2'),
          card('TBCOL1', 1),
          card('TTYPE2', 'LEVEL'),
          card('TFORM2', 'E9.2'),
          card('TBCOL2', 11),
        ],
        ascii(
          count(10, (i) => i)
            .map((i) => `${(100 + i).toFixed(2).padStart(10)} ${(-1.5e1 - i).toExponential(2).padStart(9)}`)
            .join(''),
        ),
      ),
    ),
  },
  {
    name: 'meta.sigmf-meta',
    bytes: sigmfMeta(
      { 'core:datatype': 'ci16_le', 'core:sample_rate': 250_000, 'core:num_channels': 1 },
      [
        { 'core:sample_start': 0, 'core:frequency': 10e6, 'core:datetime': '2026-03-01T10:00:00Z' },
        { 'core:sample_start': 50, 'core:frequency': 11e6, 'core:header_bytes': 8 },
      ],
      [
        {
          'core:sample_start': 10,
          'core:sample_count': 20,
          'core:freq_lower_edge': 9.9e6,
          'core:freq_upper_edge': 10e6,
          'core:label': 'a',
        },
      ],
    ),
    companions: new Map([['meta.sigmf-data', new Uint8Array(408)]]),
  },
  {
    name: 'data.sigmf-data',
    bytes: numbers('f32', count(200, Math.sin)),
    companions: new Map([['data.sigmf-meta', sigmfMeta({ 'core:datatype': 'rf32_le', 'core:sample_rate': 1e3 })]]),
  },
  {
    name: 'both.sigmf',
    bytes: tar(
      ['both/both.sigmf-meta', sigmfMeta({ 'core:datatype': 'cu8', 'core:sample_rate': 2.4e6 })],
      ['both/both.sigmf-data', Uint8Array.from(count(300, (i) => (i * 31) % 256))],
    ),
  },
  {
    name: 'sweeps.csv',
    bytes: ascii(
      count(4, (s) => s)
        .flatMap((s) => count(3, (g) => g).map((g) => `${sweepRow(s, g)}\n`))
        .join(''),
    ),
  },
  {
    name: 'pad.s2p',
    bytes: ascii(
      `! a pad\n# MHz S DB R 50\n${count(12, (i) => i)
        .map((i) => `${1 + i} -30 10 ${-20 - i / 10} -40 ${-20 - i / 10} -40 -31 12`)
        .join('\n')}\n1 2 0.5 30 0.2\n5 2 0.5 30 0.2\n`,
    ),
  },
  {
    name: 'new.ts',
    bytes: ascii(
      `[Version] 2.0\n# GHz S RI R 50\n[Number of Ports] 2\n[Two-Port Data Order] 12_21\n[Number of Frequencies] 3\n[Reference] 50 50\n[Network Data]\n1 0.1 0 0 0.01 0.5 0 0.1 0\n2 0.1 0 0 0.01 0.4 0 0.1 0\n3 0.1 0 0 0.01 0.3 0 0.1 0\n[Noise Data]\n1 1 0.1 10 0.2\n[End]\n`,
    ),
  },
  {
    name: 'book.xlsx',
    bytes: xlsx({
      remarks: [['taken with care & patience']],
      trace: [
        ['Frequency (MHz)', 'Level (dBm)'],
        ...count(30, (i) => i).map((i): [number, number] => [1 + i / 10, -90 - (i % 4)]),
      ],
    }),
  },
  {
    name: 'book.ods',
    bytes: ods(
      `<table:table table:name="t"><table:table-row><table:table-cell office:value-type="string"><text:p>Frequency (kHz)</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>Level (dBuV)</text:p></table:table-cell></table:table-row>${count(
        20,
        (i) => i,
      )
        .map(
          (i) =>
            `<table:table-row><table:table-cell office:value-type="float" office:value="${100 + i}"/><table:table-cell office:value-type="float" office:value="${30 + (i % 3)}"/></table:table-row>`,
        )
        .join(
          '',
        )}<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16384"/></table:table-row></table:table>`,
    ),
  },
  {
    name: 'scope.csv',
    bytes: utf8(
      `X,CH1,CH2,Start,Increment\nSequence,Volt,Volt,-1e-3,1e-6\n${count(60, (i) => i)
        .map((i) => `${i},${(i % 5) / 8},${(i % 3) / 4}`)
        .join('\n')}\n`,
    ),
  },
];
