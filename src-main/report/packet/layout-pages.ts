import type { Block, PacketDocument } from './document.ts';
import type { Ink, Mark } from './drawing.ts';
import { pageText } from './safe-text.ts';

/** A4 in points. */
export const PAGE = { width: 595.28, height: 841.89, left: 40, right: 40, top: 52, bottom: 50 } as const;
const CONTENT = PAGE.width - PAGE.left - PAGE.right;
const FLOOR = PAGE.height - PAGE.bottom;

/** Width of a text in points; `bold` is the heavier weight of the same face. */
export type Measure = (text: string, size: number, bold: boolean) => number;

/** One page: its marks, lengths in points from the upper left corner. */
export interface Page {
  readonly marks: readonly Mark[];
}

/**
 * Flows the document's pieces over A4 pages: text wrapped by its measured width (a word too long for a line is cut), tables over pages with
 * their heads repeated, a figure or a row never parted, a heading never last on its page.
 */
export function layoutPages(document: PacketDocument, measure: Measure): Page[] {
  const flow = new Flow(measure);
  for (const [i, block] of document.blocks.entries()) flow.place(block, document.blocks[i + 1]);
  const pages = flow.done();
  return pages.map((marks, i) => ({ marks: [...marks, ...runningMarks(document, i + 1, pages.length, measure)] }));
}

const SIZES = { lead: 12.5, plain: 10, small: 8.5 } as const;
const HEADING = { 1: 22, 2: 15, 3: 11.5 } as const;
const CELL = 8;
const LEADING = 1.32;
/** Between two columns of a table. */
const GUTTER = 9;

class Flow {
  private readonly measure: Measure;
  private readonly pages: Mark[][] = [[]];
  private y: number = PAGE.top;

  constructor(measure: Measure) {
    this.measure = measure;
  }

  done(): Mark[][] {
    return this.pages;
  }

  place(block: Block, next: Block | undefined): void {
    switch (block.kind) {
      case 'page':
        if (this.y > PAGE.top) this.turn();
        return;
      case 'heading': {
        const size = HEADING[block.level];
        const before = this.y === PAGE.top ? 0 : block.level === 2 ? 20 : 12;
        const lines = this.wrap(block.text, size, true, CONTENT);
        // what follows must begin on the same page
        this.need(before + lines.length * size * LEADING + (next?.kind === 'figure' ? next.drawing.height + 24 : 60));
        this.y += this.y === PAGE.top ? 0 : before;
        if (block.level === 2) this.rule();
        this.lines(lines, size, true, PAGE.left);
        this.y += 3;
        return;
      }
      case 'paragraph': {
        const size = SIZES[block.tone];
        this.lines(this.wrap(block.text, size, false, CONTENT), size, false, PAGE.left);
        this.y += 5;
        return;
      }
      case 'list':
        for (const item of block.items) this.item(item, PAGE.left, CONTENT);
        this.y += 4;
        return;
      case 'box':
        this.box(block.title, block.items);
        return;
      case 'facts':
        this.facts(block.pairs);
        return;
      case 'table':
        this.table(block);
        return;
      case 'figure':
        this.figure(block);
        return;
    }
  }

  private turn(): void {
    this.pages.push([]);
    this.y = PAGE.top;
  }

  private need(height: number): void {
    if (this.y > PAGE.top && this.y + height > FLOOR) this.turn();
  }

  private add(...marks: Mark[]): void {
    this.pages.at(-1)!.push(...marks);
  }

  private rule(): void {
    const at = [this.y, this.y + 2].map((y) => [PAGE.left, y, PAGE.width - PAGE.right, y] as const);
    this.add({ kind: 'segments', lines: at, stroke: 'ink', width: 0.7 });
    this.y += 8;
  }

  private text(
    text: string,
    x: number,
    size: number,
    bold: boolean,
    ink: Ink = 'ink',
    anchor: 'start' | 'end' = 'start',
  ): void {
    if (text !== '') this.add({ kind: 'text', x, y: this.y + size, size, text, anchor, ink, bold });
  }

  private lines(lines: readonly string[], size: number, bold: boolean, x: number): void {
    for (const line of lines) {
      this.need(size * LEADING);
      this.text(line, x, size, bold);
      this.y += size * LEADING;
    }
  }

  private item(text: string, left: number, width: number): void {
    const size = SIZES.plain - 0.5;
    const lines = this.wrap(text, size, false, width - 12);
    for (const [i, line] of lines.entries()) {
      this.need(size * LEADING);
      if (i === 0) this.text('–', left, size, false);
      this.text(line, left + 12, size, false);
      this.y += size * LEADING;
    }
    this.y += 1.5;
  }

  /** A frame around a list; it runs over to the next page where it must, open at the seam. */
  private box(title: string, items: readonly string[]): void {
    const size = SIZES.plain - 0.5;
    this.need(60);
    let top = this.y;
    const frame = (): void =>
      this.add({ kind: 'rect', x: PAGE.left, y: top, width: CONTENT, height: this.y - top, fill: null, stroke: 'ink' });
    this.y += 5;
    this.text(pageText(title), PAGE.left + 10, 11, true);
    this.y += 11 * LEADING + 2;
    for (const item of items) {
      for (const [i, line] of this.wrap(item, size, false, CONTENT - 32).entries()) {
        if (this.y + size * LEADING + 6 > FLOOR) {
          frame();
          this.turn();
          top = this.y;
          this.y += 5;
        }
        if (i === 0) this.text('–', PAGE.left + 10, size, false);
        this.text(line, PAGE.left + 22, size, false);
        this.y += size * LEADING;
      }
      this.y += 1.5;
    }
    this.y += 5;
    frame();
    this.y += 8;
  }

  private facts(pairs: readonly (readonly [string, string])[]): void {
    const size = 9;
    const names = pairs.map(([name]) => pageText(name));
    const nameWidth = Math.min(CONTENT / 3, Math.max(...names.map((name) => this.measure(name, size, false)), 0) + 14);
    for (const [i, [, value]] of pairs.entries()) {
      const lines = this.wrap(value, size, false, CONTENT - nameWidth);
      const nameLines = this.wrap(names[i]!, size, false, nameWidth - 6);
      const rows = Math.max(lines.length, nameLines.length);
      this.need(Math.min(rows, 40) * size * LEADING);
      for (let row = 0; row < rows; row++) {
        this.need(size * LEADING);
        this.text(nameLines[row] ?? '', PAGE.left, size, false, 'grey');
        this.text(lines[row] ?? '', PAGE.left + nameWidth, size, false);
        this.y += size * LEADING;
      }
    }
    this.y += 6;
  }

  private table({ caption, columns, rows }: Extract<Block, { kind: 'table' }>): void {
    const total = columns.reduce((sum, { share }) => sum + share, 0);
    const widths = columns.map(({ share }) => (share / total) * CONTENT);
    const lefts = widths.map((_, i) => PAGE.left + widths.slice(0, i).reduce((sum, width) => sum + width, 0));
    const step = CELL * LEADING;
    const row = (cells: readonly (readonly string[])[], bold: boolean): void => {
      const height = Math.max(...cells.map((lines) => lines.length)) * step;
      for (const [i, lines] of cells.entries()) {
        const right = columns[i]!.align === 'right';
        const x = right ? lefts[i]! + widths[i]! - GUTTER : lefts[i]!;
        for (const [line, text] of lines.entries()) {
          const at = { kind: 'text', x, y: this.y + CELL + line * step, size: CELL, text, ink: 'ink', bold } as const;
          if (text !== '') this.add({ ...at, anchor: right ? 'end' : 'start' });
        }
      }
      this.y += height + 2;
      this.add({
        kind: 'segments',
        lines: [[PAGE.left, this.y, PAGE.width - PAGE.right, this.y]],
        stroke: bold ? 'ink' : 'grey',
        width: bold ? 0.8 : 0.25,
      });
      this.y += 2;
    };
    const wrapped = (texts: readonly string[], bold: boolean) =>
      texts.map((text, i) => this.wrap(text, CELL, bold, widths[i]! - GUTTER));
    const heads = wrapped(
      columns.map(({ head }) => head),
      true,
    );
    const headHeight = Math.max(...heads.map((lines) => lines.length)) * step + 4;
    this.need(headHeight + 4 * step);
    this.lines(this.wrap(caption, SIZES.small, false, CONTENT), SIZES.small, false, PAGE.left);
    this.y += 2;
    row(heads, true);
    for (const cells of rows) {
      // a cell longer than half a page is cut, and says so: the whole text is in the packet's tables
      const lines = wrapped(cells, false).map((all) =>
        all.length > 30 ? [...all.slice(0, 29), '… (see tables/)'] : all,
      );
      const height = Math.max(...lines.map((all) => all.length)) * step + 4;
      if (this.y + height > FLOOR) {
        this.turn();
        row(heads, true);
      }
      row(lines, false);
    }
    this.y += 8;
  }

  private figure({ drawing, caption }: Extract<Block, { kind: 'figure' }>): void {
    const lines = this.wrap(caption, SIZES.small, false, CONTENT);
    const scale = Math.min(1, CONTENT / drawing.width);
    this.need(drawing.height * scale + lines.length * SIZES.small * LEADING + 6);
    this.add(...drawing.marks.map((mark) => movedMark(mark, PAGE.left, this.y, scale)));
    this.y += drawing.height * scale + 4;
    this.lines(lines, SIZES.small, false, PAGE.left);
    this.y += 8;
  }

  private wrap(text: string, size: number, bold: boolean, width: number): string[] {
    return wrapText(pageText(text), width, (part) => this.measure(part, size, bold));
  }
}

/** Lines no wider than `width`; breaks at blanks and after - / , · where it can, inside a word where it must. At least one line. */
export function wrapText(text: string, width: number, measure: (text: string) => number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/(?<= )|(?<=[-/,|·])(?=\S)/)) {
    if (measure((line + word).trimEnd()) <= width) {
      line += word;
      continue;
    }
    if (line !== '') lines.push(line.trimEnd());
    line = word;
    while (measure(line.trimEnd()) > width) {
      let fits = 1;
      const characters = [...line];
      while (fits < characters.length && measure(characters.slice(0, fits + 1).join('')) <= width) fits++;
      if (fits >= characters.length) break;
      lines.push(characters.slice(0, fits).join(''));
      line = characters.slice(fits).join('');
    }
  }
  if (line.trim() !== '' || lines.length === 0) lines.push(line.trimEnd());
  return lines;
}

function movedMark(mark: Mark, dx: number, dy: number, scale: number): Mark {
  const x = (at: number): number => dx + at * scale;
  const y = (at: number): number => dy + at * scale;
  switch (mark.kind) {
    case 'path':
      return { ...mark, points: mark.points.map(([px, py]) => [x(px), y(py)] as const), width: mark.width * scale };
    case 'segments':
      return {
        ...mark,
        lines: mark.lines.map(([a, b, c, d]) => [x(a), y(b), x(c), y(d)] as const),
        width: mark.width * scale,
      };
    case 'rect':
      return { ...mark, x: x(mark.x), y: y(mark.y), width: mark.width * scale, height: mark.height * scale };
    case 'disc':
      return { ...mark, x: x(mark.x), y: y(mark.y), radius: mark.radius * scale };
    case 'text':
      return { ...mark, x: x(mark.x), y: y(mark.y), size: mark.size * scale };
  }
}

function runningMarks({ running, at }: PacketDocument, page: number, pages: number, measure: Measure): Mark[] {
  const y = PAGE.height - 28;
  const number = `page ${page} of ${pages}`;
  const room = CONTENT - measure(number, 8, false) - 20;
  const [line = ''] = wrapText(pageText(`${running} · ${at}`), room, (part) => measure(part, 8, false));
  return [
    { kind: 'segments', lines: [[PAGE.left, y - 12, PAGE.width - PAGE.right, y - 12]], stroke: 'grey', width: 0.4 },
    { kind: 'text', x: PAGE.left, y, size: 8, text: line, anchor: 'start', ink: 'ink' },
    { kind: 'text', x: PAGE.width - PAGE.right, y, size: 8, text: number, anchor: 'end', ink: 'ink' },
  ];
}
