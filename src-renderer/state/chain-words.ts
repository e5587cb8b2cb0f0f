import type { ChainDoubt } from '../../src-main/api/contract.ts';
import { levelDoubt, PLUS_MINUS } from './format.ts';

/**
 * The calibration chain's part of a level's doubt, in words after `± 0.1 dB`; empty where the capture has no chain.
 *
 * It stands apart from the line's own doubt: a wrong table moves all lines of a capture together, so the two are not one scatter.
 */
export function chainWords(chain: ChainDoubt | undefined, index: number): string {
  if (chain === undefined) return '';
  if (!chain.isStated) return 'and that of the calibration chain, which is not stated';
  const figure = `and ${PLUS_MINUS} ${levelDoubt(chain.sigmaDb[index] ?? NaN)} dB of the calibration chain`;
  return chain.unstated.length === 0 ? figure : `${figure}, in which ${chain.unstated.join(', ')} states none`;
}
