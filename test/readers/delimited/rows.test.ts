import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
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
