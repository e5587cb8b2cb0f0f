import type { Band } from '../model/band.ts';
import type { Condition } from '../model/condition.ts';
import { InputError } from '../model/input-problem.ts';
import type { Source } from '../model/source.ts';
import { decode, textBytes } from '../readers/delimited/text.ts';
import { readBandTable } from '../readers/tables/band-table.ts';
import { readConditionTable } from '../readers/tables/condition-table.ts';
import { readSourceTable } from '../readers/tables/source-table.ts';
import type { TableContents } from '../readers/tables/table.ts';
import type { Tables } from './call.ts';
import type { Collected } from './collected.ts';
import { readInputFile } from './input-file.ts';

export interface TablesInput {
  /** Null where the call names no such table or the table was refused. */
  readonly sources: readonly Source[] | null;
  readonly conditions: readonly Condition[] | null;
  readonly bands: readonly Band[] | null;
  /** Names of the tables that were refused and so add nothing. */
  readonly refused: readonly string[];
}

/**
 * Reads the tables of a call. A refused table adds nothing; its problem is collected and its name returned. What is only odd about
 * a table (a column that means nothing here, say) is warned of, so that a script's own columns may stand.
 */
export function readTables(tables: Tables, folder: string, collected: Collected): TablesInput {
  const refused: string[] = [];
  function read<T>(file: string | null, parse: (text: string, name: string) => TableContents<T>): readonly T[] | null {
    if (file === null) return null;
    const parsed = collected.attempt(file, () => parse(textOf(file, folder), file));
    if (parsed === null) {
      refused.push(file);
      return null;
    }
    collected.warn(file, parsed.warnings);
    return parsed.rows;
  }
  const sources = read(tables.sources, readSourceTable);
  return {
    sources,
    bands: read(tables.bands, readBandTable),
    conditions: read(tables.conditions, (text, name) => {
      const contents = readConditionTable(text, name);
      if (sources !== null) refuseUnknownDesignators(contents.rows, sources, name);
      return contents;
    }),
    refused,
  };
}

/** A designator that the conditions switch on or off must be one that the sources know. Throws InputError. */
export function refuseUnknownDesignators(
  conditions: readonly Condition[],
  sources: readonly Source[],
  file: string,
): void {
  const known = new Set(sources.map((source) => source.designator));
  for (const condition of conditions) {
    for (const [column, designators] of [
      ['sources_on', condition.sourcesOn],
      ['sources_off', condition.sourcesOff],
    ] as const) {
      const unknown = designators?.find((designator) => !known.has(designator));
      if (unknown === undefined) continue;
      throw new InputError({
        file,
        place: `row of ${condition.file}, ${column}`,
        found: `"${unknown}"`,
        expected: 'a designator of the sources',
        wayOut: 'Correct the designator, or add the source to the source table.',
      });
    }
  }
}

/** A table as text, whatever a spreadsheet saved it as: UTF-8, UTF-16 or Latin-1. Throws InputError. */
function textOf(file: string, folder: string): string {
  const { bytes, encoding } = textBytes(readInputFile(file, folder), file);
  return decode(bytes, 0, bytes.length, encoding);
}
