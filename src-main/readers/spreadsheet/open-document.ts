import { parseXml } from './parse-xml.ts';
import { MOST_COLUMNS, SheetCells, type Sheet } from './sheet.ts';

/**
 * The sheets of an OpenDocument spreadsheet's content (OASIS OpenDocument 1.3, part 3, section 9.1): numbers as stored, text as shown,
 * repeated cells and rows written out where they hold something. Throws InputError.
 */
export function openDocumentSheets(content: Uint8Array, file: string): Sheet[] {
  const sheets: Sheet[] = [];
  let cells = new SheetCells(file, '', content.length);
  let name = '';
  let row = 0;
  let rowRepeat = 1;
  let column = 0;
  let columnRepeat = 1;
  let value: string | null = null;
  let text = '';
  let depth = 0; // text counts only inside a cell
  parseXml(content, file, 'content.xml', {
    open: (tag, attributes) => {
      if (tag === 'table') {
        name = attributes['table:name'] ?? `sheet ${sheets.length + 1}`;
        cells = new SheetCells(file, name, content.length);
        row = 0;
      } else if (tag === 'table-row') {
        rowRepeat = repeatIn(attributes['table:number-rows-repeated']);
        column = 0;
      } else if (tag === 'table-cell' || tag === 'covered-table-cell') {
        columnRepeat = repeatIn(attributes['table:number-columns-repeated']);
        const kind = attributes['office:value-type'];
        value =
          kind === 'float' || kind === 'percentage' || kind === 'currency'
            ? (attributes['office:value'] ?? null)
            : null;
        text = '';
        depth = 1;
      }
    },
    text: (piece) => {
      if (depth > 0 && text.length < 4000) text += piece;
    },
    close: (tag) => {
      if (tag === 'table-cell' || tag === 'covered-table-cell') {
        const written = value ?? text.trim();
        if (written !== '')
          for (let c = 0; c < columnRepeat && column + c < MOST_COLUMNS; c++) cells.put(row, column + c, written);
        column += columnRepeat;
        depth = 0;
      } else if (tag === 'table-row') {
        const filled = cells.rows[row];
        // an empty row repeated to the sheet's end is nothing
        if (filled !== undefined)
          for (let r = 1; r < rowRepeat; r++) filled.forEach((cell, c) => cells.put(row + r, c, cell));
        row += rowRepeat;
      } else if (tag === 'table') sheets.push({ name, rows: cells.rows });
    },
  });
  return sheets;
}

function repeatIn(text: string | undefined): number {
  const repeat = text === undefined ? 1 : Number(text);
  return Number.isInteger(repeat) && repeat >= 1 && repeat <= 1_048_576 ? repeat : 1;
}
