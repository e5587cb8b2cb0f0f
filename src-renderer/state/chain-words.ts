import type { ChainDoubt } from '../../src-main/api/contract.ts';
import { levelDoubt, PLUS_MINUS } from './format.ts';

/** A level's whole doubt, one standard deviation: the line's own, and that of the calibration chain where it states one. */
export function totalDoubt(ownSigmaDb: number, chain: ChainDoubt | undefined, index: number): number {
  const ofChain = chain?.sigmaDb[index] ?? 0;
  return Math.hypot(ownSigmaDb, Number.isNaN(ofChain) ? 0 : ofChain);
}

/**
 * How a level's whole doubt is composed, in words beneath it; empty where the capture has no chain.
 *
 * The chain's part is named by itself: a wrong table moves all lines of a capture together, so the two are not one scatter.
 */
export function chainWords(ownSigmaDb: number, chain: ChainDoubt | undefined, index: number): string {
  if (chain === undefined) return '';
  const own = `${PLUS_MINUS} ${levelDoubt(ownSigmaDb)} dB of the line`;
  if (!chain.isStated) return `${own}; that of the calibration chain is not stated and comes on top`;
  const both = `of it ${own} and ${PLUS_MINUS} ${levelDoubt(chain.sigmaDb[index] ?? NaN)} dB of the calibration chain`;
  return chain.unstated.length === 0 ? both : `${both}, in which ${chain.unstated.join(', ')} states none`;
}
