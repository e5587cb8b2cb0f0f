import type { ChainDoubt } from '../../src-main/api/contract.ts';
import { totalDoubt } from './chain-words.ts';
import type { SpurRow } from './spur-rows.ts';

/** Rows of the spur list as a table of text: tabs between cells, SI units, full precision of what is known. */
export function spurText(rows: readonly SpurRow[], unit: string, chain?: ChainDoubt): string {
  const head = [
    'spur',
    'cause',
    'tag',
    'frequency_hz',
    'frequency_sigma_hz',
    `level (${unit})`,
    'level_sigma_db',
    'over_floor_db',
    'why',
  ];
  const lines = rows.map(({ number, word, tag, spur, explanation, index }) =>
    [
      number,
      word,
      tag,
      spur.frequencyHz.toFixed(3),
      spur.frequencySigmaHz.toPrecision(3),
      spur.levelDb.toFixed(2),
      totalDoubt(spur.levelSigmaDb, chain, index).toFixed(2),
      spur.overFloorDb.toFixed(2),
      explanation.why,
    ].map(cell),
  );
  return [head, ...lines].map((line) => line.join('\t')).join('\n');
}

/** A tab or an end of line inside a cell would break the table; a leading sign could be taken for a formula where it is pasted. */
function cell(value: string | number): string {
  const text = String(value).replace(/[\t\r\n]+/g, ' ');
  return typeof value === 'string' && !/^-?[\d.]+(e[-+]?\d+)?$/.test(text) && /^[=+\-@]/.test(text) ? `'${text}` : text;
}
