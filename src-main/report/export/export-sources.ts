import { SOURCE_COLUMNS, sourceCells } from '../../model/source-columns.ts';
import type { Source } from '../../model/source.ts';
import { plainJson, type Json } from '../plain-json.ts';

/** The document `spurledger.sources/1`: the register's sources with the fields of the source table. */
export function sourcesDocument(sources: readonly Source[]): Json {
  return plainJson({
    schema: 'spurledger.sources/1',
    sources: sources.map((source) => {
      const cells = sourceCells(source);
      return Object.fromEntries(SOURCE_COLUMNS.map((column, c) => [column, cells[c]!]));
    }),
  });
}
