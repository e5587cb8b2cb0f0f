import { expect, test } from 'vitest';
import type { Block, PacketDocument } from '../../../src-main/report/packet/document.ts';
import { documentHtml } from '../../../src-main/report/packet/document-html.ts';
import { drawingSvg } from '../../../src-main/report/packet/drawing-svg.ts';
import { layoutPages, PAGE, wrapText } from '../../../src-main/report/packet/layout-pages.ts';
import { niceTicks } from '../../../src-main/report/packet/nice-ticks.ts';
import { plotColumns } from '../../../src-main/report/packet/plot-columns.ts';
import { spectrumPlot } from '../../../src-main/report/packet/spectrum-plot.ts';

const measure = (text: string, size: number): number => [...text].length * size * 0.55;
const of = (...blocks: Block[]): PacketDocument => ({ title: 't', running: 'r', at: 'now', blocks });
const NASTY = `</title><script>alert(1)</script>" onload='x' \u202e`;

test('lines are never wider than their room, and nothing of the text is lost', () => {
  const text = 'alpha beta-gamma/delta supercalifragilistic x';
  for (const width of [5, 20, 41, 80, 400]) {
    const lines = wrapText(text, width, (part) => part.length * 5);
    expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
    for (const line of lines) expect(line.length === 1 || line.length * 5 <= width, `"${line}" in ${width}`).toBe(true);
  }
});

test('whatever is printed lies on the page: long words, long tables, long boxes, figures', () => {
  const long = 'x'.repeat(400);
  const rows = Array.from({ length: 150 }, (_, i) => [String(i), i % 7 === 0 ? long : 'cell '.repeat(20)]);
  const figure = {
    width: 515,
    height: 232,
    alt: 'a',
    marks: [{ kind: 'rect', x: 0, y: 0, width: 515, height: 232, fill: null, stroke: 'ink' } as const],
  };
  const pages = layoutPages(
    of(
      { kind: 'heading', level: 1, text: long },
      { kind: 'box', title: 'box', items: Array.from({ length: 120 }, () => 'word '.repeat(30)) },
      { kind: 'facts', pairs: [[long, long]] },
      { kind: 'heading', level: 3, text: 'before a figure' },
      { kind: 'figure', drawing: figure, caption: long },
      {
        kind: 'table',
        caption: 'c',
        columns: [
          { head: 'n', align: 'right', share: 1 },
          { head: 'text', align: 'left', share: 4 },
        ],
        rows,
      },
    ),
    measure,
  );
  expect(pages.length).toBeGreaterThan(5);
  for (const { marks } of pages)
    for (const mark of marks) {
      if (mark.kind === 'text') {
        const width = measure(mark.text, mark.size);
        const left = mark.anchor === 'start' ? mark.x : mark.x - width;
        expect(left, mark.text).toBeGreaterThanOrEqual(PAGE.left - 0.01);
        expect(left + width, mark.text).toBeLessThanOrEqual(PAGE.width - PAGE.right + 0.01);
        expect(mark.y).toBeLessThanOrEqual(PAGE.height - 20);
      }
      if (mark.kind === 'rect') expect(mark.y + mark.height).toBeLessThanOrEqual(PAGE.height - PAGE.bottom + 1);
    }
  const heads = pages.filter(({ marks }) =>
    marks.some((mark) => mark.kind === 'text' && mark.text === 'text' && mark.bold),
  );
  const tablePages = pages.filter(({ marks }) =>
    marks.some((mark) => mark.kind === 'text' && mark.text.startsWith('cell cell')),
  );
  expect(heads.length).toBeGreaterThanOrEqual(tablePages.length);
});

test('a page holds names as text whatever they contain, and allows no script but its own', () => {
  const html = documentHtml(
    of(
      { kind: 'heading', level: 2, text: NASTY },
      { kind: 'table', caption: NASTY, columns: [{ head: NASTY, align: 'left', share: 1 }], rows: [[NASTY]] },
      { kind: 'facts', pairs: [[NASTY, NASTY]] },
      {
        kind: 'figure',
        drawing: {
          width: 9,
          height: 9,
          alt: NASTY,
          marks: [{ kind: 'text', x: 0, y: 0, size: 7, text: NASTY, anchor: 'start', ink: 'ink' }],
        },
        caption: NASTY,
      },
    ),
    () => 'HASH',
  );
  expect(html.match(/<script/g)).toHaveLength(1);
  expect(html).not.toMatch(/onload='|"\s+onload/);
  expect(html).not.toContain('\u202e');
  expect(html).toContain(`default-src 'none'; style-src 'sha256-HASH'; script-src 'sha256-HASH'`);
  // nothing is fetched: no address but the namespace of SVG
  expect([...html.matchAll(/https?:\/\/[^"' ]+/g)].map(([address]) => address)).toEqual(['http://www.w3.org/2000/svg']);
  expect(html).not.toMatch(/\sstyle="/);
});

test('a spectrum in print keeps its highest point, marks every spur, and is told in words', () => {
  const n = 10_000;
  const frequencyHz = Float64Array.from({ length: n }, (_, i) => 1e6 + i * 100);
  const levelDb = Float64Array.from({ length: n }, (_, i) => (i === 4321 ? -40 : -100 + (i % 3)));
  levelDb[77] = NaN;
  const columns = plotColumns(frequencyHz, levelDb, new Float64Array(n).fill(-101), 460);
  expect(Math.max(...columns.maximumDb)).toBe(-40);
  expect(Math.min(...columns.minimumDb)).toBe(-100);
  const spur = {
    frequencyHz: 1_432_100,
    frequencySigmaHz: 1,
    levelDb: -40,
    levelSigmaDb: 0.1,
    floorDb: -101,
    overFloorDb: 61,
    widthHz: 100,
    shape: 'line',
    peakIndex: 4321,
    firstIndex: 4320,
    lastIndex: 4322,
    crowded: false,
  } as const;
  const drawing = spectrumPlot({
    columns,
    spurs: [spur],
    explanations: [{ cause: 'unexplained', candidates: [], why: '' }],
    letterOf: (name) => name,
    bands: [{ name: '<b>', lowHz: 1.2e6, highHz: 1.4e6 }],
    unitName: 'dBm',
    name: NASTY,
  });
  expect(drawing.marks.filter(({ kind }) => kind === 'disc')).toHaveLength(1);
  expect(drawing.alt).toContain('1 spur, the highest over its floor at 1.432');
  const svg = drawingSvg(drawing, 'id');
  expect(svg).not.toContain('<b>');
  expect(svg).not.toContain('<script');
  expect(svg).not.toContain('NaN');
});

test('ticks are round and inside the range', () => {
  expect(niceTicks(0, 10, 5)).toEqual([0, 2, 4, 6, 8, 10]);
  expect(niceTicks(-97, -52, 5)).toEqual([-90, -80, -70, -60]);
  expect(niceTicks(3, 3, 5)).toEqual([3]);
});
