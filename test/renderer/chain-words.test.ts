import { describe, expect, test } from 'vitest';
import { chainWords } from '../../src-renderer/state/chain-words.ts';

describe('chainWords', () => {
  const sigmaDb = [0.83, 0.04];

  test('the chain’s doubt is a term of its own with its figure at that line', () => {
    const chain = { sigmaDb, unstated: [], isStated: true };
    expect(chainWords(chain, 0)).toBe('and ± 0.8 dB of the calibration chain');
    expect(chainWords(chain, 1)).toBe('and ± 0.04 dB of the calibration chain');
  });

  test('a table that states none is named, a chain of such tables has no figure, and no chain says nothing', () => {
    expect(chainWords({ sigmaDb, unstated: ['cable 3'], isStated: true }, 0)).toBe(
      'and ± 0.8 dB of the calibration chain, in which cable 3 states none',
    );
    // never a nought for what nobody knows
    expect(chainWords({ sigmaDb: [0], unstated: ['cable 3'], isStated: false }, 0)).toBe(
      'and that of the calibration chain, which is not stated',
    );
    expect(chainWords(undefined, 0)).toBe('');
  });
});
