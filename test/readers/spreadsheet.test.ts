import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { ascii, ods, utf8, xlsx } from './build.ts';
import { expectPromises } from './invariants.ts';
import { mutated, seeded } from './mutate.ts';

const read = (bytes: Uint8Array, file = 'book.xlsx') => readCapture(bytes, file);
const table = (n: number, f: (i: number) => (string | number | null)[]) => Array.from({ length: n }, (_, i) => f(i));
const HEAD = ['Frequency (MHz)', 'Level (dBm)'];

describe('readCapture(spreadsheet)', () => {
  test('a table of a workbook goes the way of delimited text: names, units, empty cells', () => {
    const { traces, layout, warnings } = read(
      xlsx({ 'R&D': [HEAD, ...table(20, (i) => [1 + i / 4, i === 3 ? null : -90.25 - i])] }),
    );
    expect([...traces[0]!.frequencyHz.slice(0, 3)]).toEqual([1e6, 1.25e6, 1.5e6]);
    expect(traces[0]!.level[19]).toBe(-109.25);
    expect(traces[0]!.level[3]).toBeNaN();
    expect(traces[0]!.unit.name).toBe('dBm');
    expect(layout).toMatch(/sheet “R&D”/);
    expect(warnings.join()).toMatch(/1 of 20 points have no level/);
  });

  test('sheets without a table are passed over by name; several with one are several traces', () => {
    const rows = [HEAD, ...table(12, (i) => [1 + i, -90])];
    const { traces, warnings } = read(xlsx({ notes: [['hello']], a: rows, b: rows }));
    expect(traces.map(({ label }) => label)).toEqual(['Level, a', 'Level, b']);
    expect(warnings.join()).toMatch(/Sheet “notes” was passed over/);
  });

  test('a time record on a sheet is a recording', () => {
    const { recordings } = read(xlsx({ scope: [['Time (s)', 'CH1 (V)'], ...table(30, (i) => [i * 1e-3, i % 2])] }));
    expect(recordings![0]).toMatchObject({ sampleCount: 30, sampleRateHz: 1000 });
  });

  test('an OpenDocument sheet: numbers as stored, repeated rows and cells, an end of a million empty rows', () => {
    const cell = (value: number, more = '') =>
      `<table:table-cell office:value-type="float" office:value="${value}"${more}><text:p>rounded</text:p></table:table-cell>`;
    const word = (text: string) =>
      `<table:table-cell office:value-type="string"><text:p>${text}</text:p></table:table-cell>`;
    const rows = Array.from(
      { length: 10 },
      (_, i) =>
        `<table:table-row>${cell(100 + i)}${cell(20.125, ' table:number-columns-repeated="2"')}</table:table-row>`,
    );
    const end =
      '<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>';
    const { traces } = read(
      ods(
        `<table:table table:name="t"><table:table-row>${word('Frequency (kHz)')}${word('A (dBuV)')}${word('B (dBuV)')}</table:table-row>${rows.join('')}${end}</table:table>`,
      ),
      'book.ods',
    );
    expect(traces.map(({ label }) => label)).toEqual(['A', 'B']);
    expect([...traces[1]!.level]).toEqual(Array.from({ length: 10 }, () => 20.125));
  });

  const refused = (bytes: Uint8Array, file = 'book.xlsx') => {
    try {
      read(bytes, file);
    } catch (error) {
      if (error instanceof InputError) return error.message;
      throw error;
    }
    return 'nothing was refused';
  };

  test('an archive that expands without end is stopped', () => {
    const zeros = new Uint8Array(16 * 1024 * 1024);
    const bomb = zipSync({ 'content.xml': [zeros, { level: 9 }] });
    expect(bomb.length).toBeLessThan(100_000);
    expect(refused(bomb, 'bomb.ods')).toMatch(/when expanded; expected at most/);
    // a stated size that lies: the directory says 100 bytes
    const lying = Uint8Array.from(bomb);
    const view = new DataView(lying.buffer);
    for (let i = 0; i + 46 < lying.length; i++)
      if (view.getUint32(i, true) === 0x02014b50) view.setUint32(i + 24, 100, true);
    expect(refused(lying, 'bomb.ods')).toMatch(/when expanded; expected at most/);
  });

  test('many sheets that share one stretch of the archive count together', () => {
    const sheet = `<worksheet><sheetData>${'<row><c><v>1</v></c></row>'.repeat(30_000)}</sheetData></worksheet>`;
    const names = Array.from({ length: 200 }, (_, i) => i);
    const bytes = zipSync({
      'xl/workbook.xml': utf8(
        `<workbook xmlns:r="r"><sheets>${names.map((i) => `<sheet name="s${i}" r:id="r${i}"/>`).join('')}</sheets></workbook>`,
      ),
      'xl/_rels/workbook.xml.rels': utf8(
        `<R>${names.map((i) => `<Relationship Id="r${i}" Target="worksheets/sheet1.xml"/>`).join('')}</R>`,
      ),
      'xl/worksheets/sheet1.xml': utf8(sheet),
    });
    expect(refused(bytes)).toMatch(/when expanded; expected at most/);
  });

  test('cells repeated out of proportion, and far apart, are refused', () => {
    const cell = '<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="4000"/>';
    expect(
      refused(
        ods(
          `<table:table table:name="t"><table:table-row table:number-rows-repeated="1000000">${cell}</table:table-row></table:table>`,
        ),
        'b.ods',
      ),
    ).toMatch(/repeated or far apart/);
    const far = zipSync({
      'xl/workbook.xml': utf8('<workbook xmlns:r="r"><sheets><sheet name="s" r:id="x"/></sheets></workbook>'),
      'xl/worksheets/sheet1.xml': utf8(
        '<worksheet><sheetData><row r="1048576"><c r="A1048576"><v>1</v></c></row></sheetData></worksheet>',
      ),
    });
    expect(refused(far)).toMatch(/repeated or far apart/);
  });

  test('no document type is read: entities cannot expand', () => {
    const bytes = zipSync({ 'content.xml': utf8('<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]><x>&a;</x>') });
    expect(refused(bytes, 'a.ods')).toMatch(/document type/);
  });

  test.each([
    ['no spreadsheet in the archive', zipSync({ 'a.txt': ascii('x') }), /no workbook/],
    ['a cut archive', xlsx({ a: [HEAD] }).subarray(0, 300), /no directory/],
    ['XML that does not close', zipSync({ 'content.xml': utf8('<a><b></a>') }), /“content.xml”/],
    ['an empty workbook', xlsx({ a: [] }), /no cell/],
    ['XML nested without end', zipSync({ 'content.xml': utf8('<a>'.repeat(300_000)) }), /nested more than 256 deep/],
  ])('%s is refused', (_, bytes, found) => {
    expect(refused(bytes)).toMatch(found);
  });

  test('mutated XML inside a whole archive is read or refused', () => {
    const random = seeded(11);
    const sheet = utf8(
      `<worksheet><sheetData>${table(40, (i) => [`<row r="${i + 1}"><c r="A${i + 1}"><v>${i}</v></c><c r="B${i + 1}" t="inlineStr"><is><t>-9${i % 10}</t></is></c></row>`]).join('')}</sheetData></worksheet>`,
    );
    const book = utf8('<workbook xmlns:r="r"><sheets><sheet name="s" r:id="x"/></sheets></workbook>');
    let read = 0;
    for (let m = 0; m < Number(process.env['SPURLEDGER_MUTATIONS'] ?? 150); m++) {
      const bytes = zipSync(
        { 'xl/workbook.xml': book, 'xl/worksheets/sheet1.xml': mutated(sheet, random, 65_536) },
        { level: 1 },
      );
      try {
        expectPromises(readCapture(bytes, 'm.xlsx'), bytes);
        read++;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
      }
    }
    expect(read).toBeGreaterThan(0);
  });

  const office = ['python3', '/usr/bin/python3'].find(
    (name) => spawnSync(name, ['-c', 'import openpyxl, odf'], { timeout: 30_000 }).status === 0,
  );
  test.skipIf(office === undefined)(
    `files of openpyxl and odfpy come back (${office === undefined ? 'python3 with openpyxl and odfpy is not installed here' : 'present'})`,
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'spurledger-sheet-'));
      const run = spawnSync(
        office!,
        [
          '-c',
          `
import openpyxl
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableRow, TableCell
from odf.text import P
rows = [['Frequency (kHz)', 'Level (dBµV)']] + [[150 + i * 0.9, 20.5 - (i % 7) / 3] for i in range(300)]
b = openpyxl.Workbook(); s = b.active; s.title = 'Prüfling'
for r in rows: s.append(r)
b.save('${folder}/a.xlsx')
d = OpenDocumentSpreadsheet(); t = Table(name='Prüfling')
for r in rows:
    tr = TableRow()
    for c in r:
        if isinstance(c, str):
            tc = TableCell(valuetype='string'); tc.addElement(P(text=c))
        else:
            tc = TableCell(valuetype='float', value=repr(c)); tc.addElement(P(text=f'{c:.1f}'))
        tr.addElement(tc)
    t.addElement(tr)
d.spreadsheet.addElement(t); d.save('${folder}/a.ods')
`,
        ],
        { encoding: 'utf8', timeout: 60_000 },
      );
      expect(run.stderr).toBe('');
      for (const name of ['a.xlsx', 'a.ods']) {
        const [trace] = read(new Uint8Array(readFileSync(join(folder, name))), name).traces;
        expect(trace!.level).toHaveLength(300);
        expect(trace!.unit.name).toBe('dBµV');
        trace!.level.forEach((level, i) => expect(level).toBeCloseTo(20.5 - (i % 7) / 3, 12));
        expect(trace!.frequencyHz[299]).toBeCloseTo((150 + 299 * 0.9) * 1e3, 6);
      }
      rmSync(folder, { recursive: true });
    },
  );
});
