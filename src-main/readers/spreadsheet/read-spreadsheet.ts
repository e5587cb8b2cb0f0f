import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { openDocumentSheets } from './open-document.ts';
import { officeOpenSheets } from './office-open.ts';
import { sheetText, type Sheet } from './sheet.ts';
import { ZipArchive } from './zip-entries.ts';

/**
 * Reads the tables of numbers in a spreadsheet (.xlsx or .ods): every sheet becomes text and goes the way of delimited text. Sheets
 * that hold no table are passed over and named.
 *
 * @param readText reads delimited text
 * @throws InputError where no sheet holds a table, with what the first one lacks
 */
export function readSpreadsheet(
  bytes: Uint8Array,
  file: string,
  hints: ReadingHints,
  readText: (text: Uint8Array, file: string, hints: ReadingHints) => ReadCapture,
): ReadCapture {
  const archive = new ZipArchive(bytes, file);
  const content = archive.content('content.xml');
  const sheets: Sheet[] = content === null ? officeOpenSheets(archive, file) : openDocumentSheets(content, file);
  const filled = sheets.filter(({ rows }) => rows.some((cells) => cells.length > 0));
  // cells are parted by tabs and numbers have a decimal point, whatever the user's files have
  const { separator: _separator, decimalMark: _decimalMark, ...rest } = hints;
  const read: { sheet: Sheet; capture: ReadCapture }[] = [];
  const warnings: string[] = [];
  let refusal: InputError | null = null;
  for (const sheet of filled)
    try {
      read.push({ sheet, capture: readText(sheetText(sheet), `${file} › ${sheet.name}`, rest) });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      refusal ??= error;
      warnings.push(`Sheet “${sheet.name}” was passed over: ${error.problem.found}.`);
    }
  if (read.length === 0)
    throw (
      refusal ??
      new InputError({
        file,
        place: `its ${sheets.length} sheet(s)`,
        found: 'no cell that holds anything',
        expected: 'a table of numbers',
        wayOut: 'Put frequency and level side by side on a sheet.',
      })
    );
  const several = read.length > 1;
  return {
    layout: `spreadsheet, ${read.map(({ sheet, capture }) => `sheet “${sheet.name}”: ${capture.layout}`).join('; ')}`,
    traces: read.flatMap(({ sheet, capture }) =>
      capture.traces.map((trace) => (several ? { ...trace, label: labelled(sheet.name, trace.label) } : trace)),
    ),
    recordings: read.flatMap(({ sheet, capture }) =>
      (capture.recordings ?? []).map((record) =>
        several ? { ...record, label: labelled(sheet.name, record.label) } : record,
      ),
    ),
    warnings: [...warnings, ...new Set(read.flatMap(({ capture }) => capture.warnings))],
  };
}

function labelled(sheet: string, label: string): string {
  return label === '' ? sheet : `${label}, ${sheet}`;
}
