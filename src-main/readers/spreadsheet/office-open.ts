import { InputError } from '../../model/input-problem.ts';
import { parseXml } from './parse-xml.ts';
import { SheetCells, type Sheet } from './sheet.ts';
import type { ZipArchive } from './zip-entries.ts';

/**
 * The sheets of an Office Open XML workbook (ECMA-376, part 1, sections 18.2, 18.3 and 18.4): numbers as stored, shared and inline
 * strings, results of formulas. Dates are the serial numbers they are stored as. Throws InputError.
 */
export function officeOpenSheets(archive: ZipArchive, file: string): Sheet[] {
  const workbook = archive.content('xl/workbook.xml');
  if (workbook === null)
    throw new InputError({
      file,
      place: 'the archive',
      found: 'no workbook in it',
      expected: 'a spreadsheet',
      wayOut: 'Unpack the archive and open the files in it.',
    });
  const targets = new Map<string, string>();
  const relations = archive.content('xl/_rels/workbook.xml.rels');
  if (relations !== null)
    parseXml(relations, file, 'workbook.xml.rels', {
      open: (name, attributes) => {
        if (name === 'Relationship') targets.set(attributes['Id'] ?? '', attributes['Target'] ?? '');
      },
    });
  const named: { name: string; part: string }[] = [];
  parseXml(workbook, file, 'workbook.xml', {
    open: (name, attributes) => {
      if (name !== 'sheet') return;
      const id = Object.entries(attributes).find(([key]) => key.endsWith(':id'))?.[1] ?? '';
      const target = targets.get(id) ?? `worksheets/sheet${named.length + 1}.xml`;
      named.push({
        name: attributes['name'] ?? `sheet ${named.length + 1}`,
        part: target.startsWith('/') ? target.slice(1) : `xl/${target}`,
      });
    },
  });
  const strings = sharedStrings(archive.content('xl/sharedStrings.xml'), file);
  return named.flatMap(({ name, part }) => {
    const sheet = archive.content(part);
    return sheet === null ? [] : [readSheet(sheet, name, part, strings, file)];
  });
}

function sharedStrings(part: Uint8Array | null, file: string): string[] {
  const strings: string[] = [];
  if (part === null) return strings;
  let text = '';
  let inText = false;
  let phonetic = false;
  parseXml(part, file, 'sharedStrings.xml', {
    open: (name) => {
      if (name === 'si') text = '';
      inText = name === 't';
      phonetic ||= name === 'rPh';
    },
    text: (piece) => {
      if (inText && !phonetic) text += piece;
    },
    close: (name) => {
      if (name === 'si') strings.push(text.slice(0, 4000));
      if (name === 'rPh') phonetic = false;
      inText = false;
    },
  });
  return strings;
}

function readSheet(
  bytes: Uint8Array,
  sheetName: string,
  part: string,
  strings: readonly string[],
  file: string,
): Sheet {
  const cells = new SheetCells(file, sheetName, bytes.length);
  let row = -1;
  let column = -1;
  let kind = 'n';
  let text = '';
  let inValue = false;
  parseXml(bytes, file, part, {
    open: (name, attributes) => {
      if (name === 'row') {
        row = rowNumber(attributes['r']) ?? row + 1;
        column = -1;
      } else if (name === 'c') {
        column = columnNumber(attributes['r']) ?? column + 1;
        kind = attributes['t'] ?? 'n';
        text = '';
      }
      inValue = name === 'v' || name === 't';
    },
    text: (piece) => {
      if (inValue) text += piece;
    },
    close: (name) => {
      if (name === 'c' && row >= 0)
        cells.put(row, column, kind === 's' ? (strings[Number(text)] ?? '') : kind === 'e' ? 'nan' : text);
      inValue = false;
    },
  });
  return { name: sheetName, rows: cells.rows };
}

/** Rows are at most 1 048 576 (ECMA-376); anything else is no row. */
function rowNumber(text: string | undefined): number | null {
  const row = text === undefined ? NaN : Number(text) - 1;
  return Number.isInteger(row) && row >= 0 && row < 1_048_576 ? row : null;
}

/** Letters of a reference such as AB12 as a column, from 0. */
function columnNumber(reference: string | undefined): number | null {
  const letters = /^([A-Z]{1,3})\d+$/.exec(reference ?? '')?.[1];
  if (letters === undefined) return null;
  let column = 0;
  for (let i = 0; i < letters.length; i++) column = column * 26 + (letters.charCodeAt(i) - 64);
  return column - 1;
}
