import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readCapture } from '../../../src-main/readers/read-capture.ts';

/** One way of writing a table of frequency and level. */
interface Way {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly end: string;
  readonly unit: 'Hz' | 'kHz' | 'MHz';
  readonly header: 'brackets' | 'slash' | 'unit row' | 'run together' | 'in the cells';
  readonly quoted: boolean;
  readonly plus: boolean;
  readonly tail: boolean;
  readonly levelFirst: boolean;
  readonly index: boolean;
  readonly down: boolean;
  readonly encoding: 'UTF-8' | 'UTF-8 with mark' | 'UTF-16' | 'Latin-1';
  readonly nul: boolean;
  readonly preamble: boolean;
}

const way = fc.record<Way>({
  delimiter: fc.constantFrom(',', ';', '\t', '|'),
  decimal: fc.constantFrom('.', ','),
  end: fc.constantFrom('\n', '\r\n', '\r', '\r\r\n'),
  unit: fc.constantFrom('Hz', 'kHz', 'MHz'),
  header: fc.constantFrom('brackets', 'slash', 'unit row', 'run together', 'in the cells'),
  quoted: fc.boolean(),
  plus: fc.boolean(),
  tail: fc.boolean(),
  levelFirst: fc.boolean(),
  index: fc.boolean(),
  down: fc.boolean(),
  encoding: fc.constantFrom('UTF-8', 'UTF-8 with mark', 'UTF-16', 'Latin-1'),
  nul: fc.boolean(),
  preamble: fc.boolean(),
});

const DIGITS = { Hz: 0, kHz: 3, MHz: 6 } as const;

/** Whole hertz and tenths of a decibel, so that every way can write them exactly. */
function write(hertz: readonly number[], tenths: readonly number[], w: Way): Uint8Array {
  const point = (text: string): string => (w.decimal === ',' ? text.replace('.', ',') : text);
  // a decimal comma between commas is only readable in quotes
  const quote = w.quoted || (w.delimiter === ',' && w.decimal === ',') ? '"' : '';
  const cell = (text: string, unit: string): string => {
    const sign = w.plus && !text.startsWith('-') ? '+' : '';
    return `${quote}${sign}${point(text)}${w.header === 'in the cells' ? ` ${unit}` : ''}${quote}`;
  };
  const order = (a: string, b: string, first = ''): string =>
    [...(w.index ? [first] : []), ...(w.levelFirst ? [b, a] : [a, b])].join(w.delimiter) + (w.tail ? w.delimiter : '');
  const names = {
    brackets: [order(`Frequency (${w.unit})`, 'Level (dBµV)', 'No')],
    slash: [order(`f/${w.unit}`, 'Pegel/dBµV', 'No')],
    'unit row': [order('Frequency', 'Level', 'No'), order(w.unit, 'dBµV')],
    'run together': [order(`freq_${w.unit.toLowerCase()}`, 'level_dBuV', 'No')],
    'in the cells': [order('Frequency', 'Level', 'No')],
  }[w.header];
  const lines = hertz.map((f, i) =>
    order(
      cell((f / 10 ** DIGITS[w.unit]).toFixed(DIGITS[w.unit]), w.unit),
      cell((tenths[i]! / 10).toFixed(1), 'dBµV'),
      String(i),
    ),
  );
  if (w.down) lines.reverse();
  const statements = w.preamble ? ['Instrument: bench', 'RBW: 3 kHz', 'Detector: RMS', ''] : [];
  const text = [...statements, ...names, ...lines].join(w.end) + w.end;
  if (w.encoding === 'UTF-16') {
    const out = new Uint8Array(2 + 2 * text.length);
    out.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++) out.set([text.charCodeAt(i) & 255, text.charCodeAt(i) >> 8], 2 + 2 * i);
    return out;
  }
  const marked = w.nul ? text.replaceAll(w.delimiter, `\0${w.delimiter}`) : text;
  if (w.encoding === 'Latin-1') return Uint8Array.from(marked, (c) => c.charCodeAt(0));
  return new TextEncoder().encode(w.encoding === 'UTF-8' ? marked : `\ufeff${marked}`);
}

const table = fc
  .tuple(
    fc.integer({ min: 9000, max: 900_000_000 }),
    fc.array(fc.tuple(fc.integer({ min: 1, max: 999_999 }), fc.integer({ min: -1200, max: 1200 })), {
      minLength: 12,
      maxLength: 60,
    }),
  )
  // a trace whose levels happen to run one way, or never differ, is no fair test of finding the axis without help
  .filter(([, points]) => new Set(points.map(([, level]) => level)).size > 4)
  .map(([start, points]) => {
    let f = start;
    return { hertz: points.map(([step]) => (f += step)), tenths: points.map(([, level]) => level) };
  });

test('a table is the same table however it is written: delimiter, decimals, line ends, encoding, order, units', () => {
  fc.assert(
    fc.property(table, way, ({ hertz, tenths }, w) => {
      const { traces } = readCapture(write(hertz, tenths, w), 'x');
      expect(traces).toHaveLength(1);
      expect([...traces[0]!.frequencyHz]).toEqual(hertz);
      expect([...traces[0]!.level]).toEqual(tenths.map((t) => t / 10));
      expect(traces[0]!.unit.name).toBe('dBµV');
      if (w.preamble) expect(traces[0]!.settings).toMatchObject({ rbwHz: 3000, detector: 'rms' });
    }),
    { seed: 21, numRuns: 1500 },
  );
});
