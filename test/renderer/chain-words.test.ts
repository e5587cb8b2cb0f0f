import { describe, expect, test } from 'vitest';
import { chainWords, totalDoubt } from '../../src-renderer/state/chain-words.ts';

const sigmaDb = [0.83, 0.04, NaN];
const chain = { sigmaDb, unstated: [], isStated: true };

describe('chainWords', () => {
  test('line and chain are two terms, each with its figure at that line', () => {
    expect(chainWords(0.12, chain, 0)).toBe('of it ± 0.1 dB of the line and ± 0.8 dB of the calibration chain');
    expect(chainWords(0.05, chain, 1)).toBe('of it ± 0.05 dB of the line and ± 0.04 dB of the calibration chain');
  });

  test('a table that states none is named, a chain of such tables has no figure, and no chain says nothing', () => {
    expect(chainWords(0.12, { sigmaDb, unstated: ['cable 3'], isStated: true }, 0)).toBe(
      'of it ± 0.1 dB of the line and ± 0.8 dB of the calibration chain, in which cable 3 states none',
    );
    // never a nought for what nobody knows
    expect(chainWords(0.12, { sigmaDb: [0], unstated: ['cable 3'], isStated: false }, 0)).toBe(
      '± 0.1 dB of the line; that of the calibration chain is not stated and comes on top',
    );
    expect(chainWords(0.12, undefined, 0)).toBe('');
  });
});

describe('totalDoubt', () => {
  test('the two add as independent doubts do: 0.3 and 0.4 dB are 0.5 dB (JCGM 100:2008, 5.1.2)', () => {
    expect(totalDoubt(0.3, { ...chain, sigmaDb: [0.4] }, 0)).toBeCloseTo(0.5, 12);
  });

  test('no chain, or no level there, leaves the line’s own', () => {
    expect(totalDoubt(0.3, undefined, 0)).toBe(0.3);
    expect(totalDoubt(0.3, chain, 2)).toBe(0.3);
    expect(totalDoubt(0.3, chain, 9)).toBe(0.3);
  });
});
