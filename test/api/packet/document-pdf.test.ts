import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { documentPdf } from '../../../src-main/api/packet/document-pdf.ts';
import { fontLicence } from '../../../src-main/api/packet/packet-fonts.ts';
import type { PacketDocument } from '../../../src-main/report/packet/document.ts';

const AT = '2026-03-20T13:00:00.000Z';
const WORDS = 'limit ≤ −97.5 dBµV ± 0.2, 50 Ω, 10⁻⁶, S0 → S1';
const DOCUMENT: PacketDocument = {
  title: 'A “packet” (with) \\ signs',
  running: 'running line',
  at: 'now',
  blocks: [
    { kind: 'heading', level: 1, text: 'Head' },
    { kind: 'paragraph', tone: 'plain', text: WORDS },
    { kind: 'paragraph', tone: 'plain', text: 'right-to-left \u202e and 漢字' },
    {
      kind: 'table',
      caption: 'c',
      columns: [{ head: 'a', align: 'left', share: 1 }],
      rows: Array.from({ length: 90 }, (_, i) => [`row ${i}`]),
    },
  ],
};

function tool(name: string, args: readonly string[]): string | null {
  const done = spawnSync(name, args, { encoding: 'utf8' });
  return done.error === undefined && done.status === 0 ? done.stdout : null;
}

function written(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-pdf-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  writeFileSync(join(folder, 'a.pdf'), documentPdf(DOCUMENT, AT));
  return join(folder, 'a.pdf');
}

test('the same document gives the same bytes, and bears the stated date and no other', () => {
  const [one, two] = [documentPdf(DOCUMENT, AT), documentPdf(DOCUMENT, AT)];
  expect(Buffer.from(one).equals(Buffer.from(two))).toBe(true);
  const text = Buffer.from(one).toString('latin1');
  expect(new Set([...text.matchAll(/\(D:(\d{14})/g)].map(([, date]) => date))).toEqual(new Set(['20260320130000']));
  expect(text.startsWith('%PDF-1.7')).toBe(true);
  expect(text).not.toMatch(/\/Subtype \/Type1\b/);
  expect(fontLicence()).toContain('SIL Open Font License');
});

test('the typeface is embedded, and the words come out as they went in (poppler)', (context) => {
  const file = written();
  const fonts = tool('pdffonts', [file]);
  const text = tool('pdftotext', ['-layout', file, '-']);
  if (fonts === null || text === null) return context.skip('poppler-utils are not on this machine');
  const rows = fonts.trim().split('\n').slice(2);
  expect(rows.length).toBeGreaterThan(0);
  for (const row of rows) expect(row).toMatch(/SourceSans3.* yes yes yes /);
  expect(text).toContain(WORDS);
  expect(text).toContain('‹202E›');
  expect(text).toContain('‹6F22›‹5B57›');
  expect(text).toContain('page 1 of 2');
});

test('every page has ink, and none at its edges (poppler)', (context) => {
  const file = written();
  if (tool('pdftoppm', ['-r', '40', '-gray', file, file]) === null)
    return context.skip('poppler-utils are not on this machine');
  const pages = readdirSync(join(file, '..')).filter((name) => name.endsWith('.pgm'));
  expect(pages).toHaveLength(2);
  for (const name of pages) {
    const bytes = readFileSync(join(file, '..', name));
    const [, width, height] = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.toString('latin1', 0, 40))!.map(Number) as [
      number,
      number,
      number,
    ];
    const pixels = bytes.subarray(bytes.length - width * height);
    expect(pixels.some((grey) => grey < 128)).toBe(true);
    const margin = 15; // the narrowest margin is 28 points, so 15 pixels at 40 dpi
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++)
        if (x < margin || y < margin || x >= width - margin || y >= height - margin)
          expect(pixels[y * width + x], `${name} at ${x}, ${y}`).toBe(255);
  }
});
