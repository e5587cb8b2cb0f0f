import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { findTables } from '../../../src-main/readers/delimited/find-tables.ts';
import { NOT_NUMERIC, parseRow } from '../../../src-main/readers/delimited/rows.ts';
import { readCapture } from '../../../src-main/readers/read-capture.ts';

const out = new Float64Array(1024);
const parse = (text: string, delimiter = ',', decimalComma = false): number[] | null => {
  const bytes = new TextEncoder().encode(text);
  const cells = parseRow(bytes, 0, bytes.length, { delimiter: delimiter.charCodeAt(0), decimalComma }, out);
  return cells === NOT_NUMERIC ? null : [...out.slice(0, cells)];
};

describe('parseRow(bytes, start, end, dialect, out)', () => {
  test('gives the very double that Number() gives, for any way to write one', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.constantFrom('plain', 'exponential', 'fixed', 'precision'),
        fc.integer({ min: 0, max: 20 }),
        (value, way, digits) => {
          const text =
            way === 'plain'
              ? String(value)
              : way === 'exponential'
                ? value.toExponential(digits)
                : way === 'fixed' && Math.abs(value) < 1e20
                  ? value.toFixed(digits)
                  : value.toPrecision(Math.max(1, digits));
          // digits cut from the largest double can name a number beyond it
          if (Number.isFinite(Number(text))) expect(parse(`${text},1`)![0]).toBe(Number(text));
        },
      ),
      { seed: 7, numRuns: 5000 },
    );
  });

  test.each([
    ['1,2,3', [1, 2, 3]],
    [' 1 , 2 ', [1, 2]],
    ['"1","2"', [1, 2]],
    ['1,,3', [1, NaN, 3]],
    ['1,2,', [1, 2]],
    ['1,2, ', [1, 2]],
    ['+1.5e+3,-.5', [1500, -0.5]],
    ['nan,-inf', [NaN, NaN]],
    ['1.D3,2', [1000, 2]],
    ['5.,2', [5, 2]],
  ])('reads %s', (text, expected) => {
    expect(parse(text)).toEqual(expected);
  });

  test.each(['abc,1', '1,2x', '1..2,3', '1e,2', '"1,2', '1 2,3', '12:30:00,1', '1-2,3', '0x10,1'])(
    'does not take %s for numbers',
    (text) => {
      expect(parse(text)).toBeNull();
    },
  );

  test('blank lines and lines of delimiters alone have no cells', () => {
    expect(parse('')).toEqual([]);
    expect(parse('   ')).toEqual([]);
    expect(parse(',,,')).toEqual([]);
  });
});

describe('readCapture on anything', () => {
  const outcome = (bytes: Uint8Array): string => {
    try {
      const capture = readCapture(bytes, 'x');
      for (const trace of capture.traces) {
        expect(trace.level.length).toBe(trace.frequencyHz.length);
        expect(trace.level.length).toBeGreaterThanOrEqual(2);
        for (let i = 1; i < trace.frequencyHz.length; i++)
          expect(trace.frequencyHz[i]! > trace.frequencyHz[i - 1]!).toBe(true);
      }
      return 'read';
    } catch (error) {
      if (error instanceof InputError) return 'refused';
      throw error;
    }
  };

  test('random bytes give traces or an InputError, never anything else', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 3000 }), (bytes) => void outcome(bytes)),
      { seed: 3, numRuns: 500 },
    );
  });

  test('random text of the characters of measurement files does so too', () => {
    const text = fc.array(
      fc.constantFrom(...'0123456789.,;:-+eE \t\n\r"#HzdBm()='.split(''), '\n', '1,2\n', 'RBW,3 kHz\n'),
      { maxLength: 600 },
    );
    fc.assert(
      fc.property(text, (parts) => void outcome(new TextEncoder().encode(parts.join('')))),
      { seed: 4, numRuns: 1500 },
    );
  });

  test('a good file with random bytes changed, cut or doubled does so too', () => {
    const good = new TextEncoder().encode(
      `Start,1 MHz\nStop,2 MHz\nRBW,3 kHz\nFrequency (Hz);Level (dBm)\n${Array.from({ length: 60 }, (_, i) => `${1e6 + i * 1000};-9${i % 10},5`).join('\r\n')}`,
    );
    const change = fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(change, fc.nat(good.length), (changes, cut) => {
        const bytes = good.slice(0, Math.max(1, cut));
        for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
        outcome(bytes);
      }),
      { seed: 5, numRuns: 2000 },
    );
  });
});

describe('findTables(bytes, dialect, file): the fast loop', () => {
  /** Column 0 of rows written one below the other, long enough that the fast loop reads most of them. */
  const column = (texts: readonly string[], decimalComma = false): number[] => {
    const delimiter = decimalComma ? ';' : ',';
    const bytes = new TextEncoder().encode(texts.map((text) => `${text}${delimiter}1\n`).join(''));
    const { tables } = findTables(bytes, { delimiter: delimiter.charCodeAt(0), decimalComma }, 'x');
    return tables.flatMap(({ columns }) => [...columns[0]!]);
  };

  test('gives the very doubles that Number() gives: random decimals of 1 to 25 digits and any exponent', () => {
    const digits = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 25 });
    const decimal = fc
      .tuple(fc.constantFrom('', '-', '+'), digits, fc.nat(25), fc.option(fc.integer({ min: -330, max: 300 })))
      .map(([sign, all, point, exponent]) => {
        const text = all.join('');
        const at = Math.min(point, text.length);
        const body = at === text.length ? text : `${text.slice(0, at)}.${text.slice(at)}`;
        return `${sign}${body}${exponent === null ? '' : `e${exponent}`}`;
      });
    fc.assert(
      fc.property(fc.array(decimal, { minLength: 30, maxLength: 60 }), (texts) => {
        const finite = texts.filter((text) => Number.isFinite(Number(text)));
        const expected = finite.map(Number);
        expect(column(finite)).toEqual(expected);
        expect(
          column(
            finite.map((text) => text.replace('.', ',')),
            true,
          ),
        ).toEqual(expected);
      }),
      { seed: 8, numRuns: 1500 },
    );
  });

  test('halfway cases and neighbours of powers of two, as strtod test suites have them', () => {
    const hard = [
      '9007199254740993', // 2^53 + 1: a tie, to even
      '9007199254740995',
      '900719925474099.35',
      '0.500000000000000166533453693773481063544750213623046875',
      '3.518437208883201171875e13',
      '62.5364939768271845828',
      '8.10109172351e-10',
      '1.50000000000000011102230246251565',
      '9007199254740991.4999999999999999999999999999999995',
      '2.2250738585072011e-308',
      '4.9e-324',
      '1.7976931348623157e308',
      '123456789012345678',
      '0.1234567890123456789',
    ];
    const many = Array.from({ length: 4 }, () => hard).flat();
    expect(column(many)).toEqual(many.map(Number));
  });

  test('a row that is anything else is left to the careful parser, and the loop goes on behind it', () => {
    const texts = Array.from({ length: 60 }, (_, i) =>
      i === 20 ? '"5"' : i === 40 ? ' +7 ' : i === 50 ? 'nan' : String(i),
    );
    const expected = texts.map((_, i) => (i === 20 ? 5 : i === 40 ? 7 : i === 50 ? NaN : i));
    expect(column(texts)).toEqual(expected);
  });

  test('counts lines and rows over blank lines, texts and a last line without an end', () => {
    const rows = Array.from({ length: 30 }, (_, i) => `${i},1`);
    const bytes = new TextEncoder().encode(`a,b\n${rows.join('\r\n')}\r\n\r\nremark\r\n${rows.join('\r\n')}`);
    const { tables, texts, lineCount, lastLine } = findTables(bytes, { delimiter: 44, decimalComma: false }, 'x');
    expect(tables.map(({ rows: n, firstLine, lastLine: last }) => [n, firstLine, last])).toEqual([
      [30, 1, 30],
      [30, 33, 62],
    ]);
    expect(texts.map(({ line }) => line)).toEqual([0, 32]);
    expect([lineCount, lastLine.closed]).toEqual([63, false]);
  });
});
