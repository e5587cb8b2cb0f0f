import { checkSource } from '../../model/check-source.ts';
import { parseBandTable } from '../../readers/tables/band-table.ts';
import { parseSourceTable, writeSourceTable } from '../../readers/tables/source-table.ts';
import type { Api } from '../contract.ts';
import type { ApiParts } from '../api-parts.ts';
import { importBands, withoutId } from '../steps/register-tables.ts';
import { tableFile } from '../steps/table-file.ts';

type SourceCalls = Pick<
  Api,
  | 'sourceList'
  | 'sourceCheck'
  | 'sourcePut'
  | 'sourceRemove'
  | 'sourceImport'
  | 'sourceExport'
  | 'bandList'
  | 'bandImport'
>;

export function sourceCalls({ session }: ApiParts): SourceCalls {
  const sources = () => session.register.sources.list();
  return {
    sourceList: () => Promise.resolve(sources()),
    sourceCheck({ source, replaces }) {
      const others = sources()
        .map((entry) => entry.source)
        .filter(({ designator }) => designator !== replaces);
      const problems = checkSource(source, others).map(({ field, found, expected, wayOut }) => ({
        field,
        message: `Found ${found}; expected ${expected}. ${wayOut}`,
      }));
      return Promise.resolve(problems);
    },
    sourcePut({ source, replaces, revision }) {
      const entry = session.register.sources.put(source, replaces, revision);
      session.changed(['source']);
      return Promise.resolve(entry);
    },
    sourceRemove({ designator }) {
      session.register.sources.remove(designator);
      session.changed(['source']);
      return Promise.resolve();
    },
    sourceImport({ file, text, replaceAll }) {
      session.register.sources.import(parseSourceTable(text, file), replaceAll);
      session.changed(['source']);
      return Promise.resolve(sources());
    },
    sourceExport() {
      const text = writeSourceTable(sources().map(({ source }) => source));
      return Promise.resolve(tableFile(session.register, 'sources', text));
    },
    bandList: () => Promise.resolve(session.register.bands.list().map(withoutId)),
    bandImport({ file, text }) {
      importBands(session.register, parseBandTable(text, file));
      session.changed(['band']);
      return Promise.resolve(session.register.bands.list().map(withoutId));
    },
  };
}
