import { zipSync, zlibSync } from 'fflate';
import { ascii, joined, sigmfMeta, utf8 } from './build.ts';
import type { GoodFile } from './good-files.ts';

/**
 * Files of at most 64 kB that ask for far more than they are: expanding archives, deep nesting, claimed sizes, endless rows. A metadata
 * file is to be given samples of 1 TB beside it.
 */
export function hostileFiles(): readonly Pick<GoodFile, 'name' | 'bytes'>[] {
  const sheet = (content: Uint8Array): Uint8Array =>
    zipSync({
      '[Content_Types].xml': utf8('<Types/>'),
      'xl/workbook.xml': utf8(
        '<workbook xmlns:r="r"><sheets><sheet name="a" sheetId="1" r:id="i"/></sheets></workbook>',
      ),
      'xl/_rels/workbook.xml.rels': utf8(
        '<Relationships><Relationship Id="i" Target="worksheets/sheet1.xml"/></Relationships>',
      ),
      'xl/worksheets/sheet1.xml': content,
    });
  const rows = '<row><c><v>1</v></c><c><v>2</v></c></row>';
  // 20 million bytes of rows that deflate to some tens of thousands
  const many = utf8(`<worksheet><sheetData>${rows.repeat(500_000)}</sheetData></worksheet>`);
  const blanks = new Uint8Array(60_000_000).fill(32);
  const entities = `<!DOCTYPE w [<!ENTITY a "${'x'.repeat(1000)}">${[...'bcdefgh'].map((e, i) => `<!ENTITY ${e} "${`&${'abcdefg'[i]!};`.repeat(10)}">`).join('')}]>`;
  const far = `<worksheet><sheetData><row r="1048576"><c r="XFD1048576"><v>1</v></c></row><row r="1"><c r="A1"><v>1</v></c></row></sheetData></worksheet>`;
  const nested = (open: string, close: string): string => open.repeat(30_000) + close.repeat(30_000);
  const meta = { 'core:datatype': 'cf32_le', 'core:sample_rate': 1e6, 'core:num_channels': 1024 };
  return [
    { name: 'rows.xlsx', bytes: sheet(many) },
    { name: 'blanks.xlsx', bytes: sheet(blanks) },
    { name: 'entities.xlsx', bytes: sheet(utf8(`${entities}<worksheet>&h;</worksheet>`)) },
    { name: 'far.xlsx', bytes: sheet(utf8(far)) },
    {
      name: 'repeated.ods',
      bytes: zipSync({
        mimetype: ascii('application/vnd.oasis.opendocument.spreadsheet'),
        'content.xml': utf8(
          '<d><table:table><table:table-row table:number-rows-repeated="2000000000"><table:table-cell table:number-columns-repeated="2000000000" office:value-type="float" office:value="1"/></table:table-row></table:table></d>',
        ),
      }),
    },
    { name: 'brackets.sigmf-meta', bytes: utf8(nested('[', ']')) },
    { name: 'objects.sigmf-meta', bytes: utf8('{"global":'.repeat(6000)) },
    {
      name: 'segments.sigmf-meta',
      bytes: sigmfMeta(
        meta,
        Array.from({ length: 1200 }, (_, i) => ({ 'core:sample_start': i, 'core:datetime': 'x' })),
      ),
    },
    {
      name: 'claims.npy',
      bytes: joined(
        Uint8Array.of(0x93),
        'NUMPY',
        Uint8Array.of(1, 0, 70, 0),
        "{'descr': '<f8', 'fortran_order': False, 'shape': (99999999999, 9), }".padEnd(69),
        '\n',
      ),
    },
    { name: 'line.csv', bytes: utf8('1,'.repeat(32_000)) },
    { name: 'quote.csv', bytes: utf8(`"${'a,\n'.repeat(20_000)}`) },
    { name: 'rows.csv', bytes: utf8('1;2\n'.repeat(16_000)) },
    { name: 'steps.csv', bytes: utf8(`date, time, 0, 1e12, 1e-6, 1, ${'-50, '.repeat(10_000)}\n`) },
    { name: 'squeezed.csv', bytes: zlibSync(blanks) },
  ];
}
