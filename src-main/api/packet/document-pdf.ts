import PDFDocument from 'pdfkit';
import type { PacketDocument } from '../../report/packet/document.ts';
import type { Ink, Mark } from '../../report/packet/drawing.ts';
import { layoutPages, PAGE, type Measure } from '../../report/packet/layout-pages.ts';
import { packetFonts } from './packet-fonts.ts';

const GREYS: Readonly<Record<Ink, string>> = {
  ink: '#111111',
  grey: '#666666',
  pale: '#eeeeee',
  paper: '#ffffff',
  over: '#111111',
};

/**
 * The document as PDF: vector plots, the typeface embedded, in greys. Streams are left uncompressed, so that the bytes depend on the
 * document alone and not on a version of a compressor.
 *
 * @param at ISO 8601 date-time that the file bears as its own; no clock is asked
 */
export function documentPdf(document: PacketDocument, at: string): Uint8Array {
  const created = new Date(Number.isNaN(Date.parse(at)) ? 0 : Date.parse(at));
  const pdf = new PDFDocument({
    size: [PAGE.width, PAGE.height],
    margin: 0,
    autoFirstPage: false,
    compress: false,
    pdfVersion: '1.7',
    lang: 'en',
    displayTitle: true,
    info: {
      Title: document.title,
      Creator: 'spurledger',
      Producer: 'spurledger',
      CreationDate: created,
      ModDate: created,
    },
  });
  const fonts = packetFonts();
  pdf.registerFont('plain', fonts.plain);
  pdf.registerFont('bold', fonts.bold);
  for (const name of ['plain', 'bold'] as const) setByCharacter(faceOf(pdf, name));
  const printable = glyphsOf(faceOf(pdf, 'plain'));
  const measure = measuredBy(pdf, printable);
  for (const { marks } of layoutPages(document, measure)) {
    pdf.addPage();
    for (const mark of marks) draw(pdf, mark, measure, printable);
  }
  pdf.end();
  const parts: Buffer[] = [];
  for (let part = pdf.read() as Buffer | null; part !== null; part = pdf.read() as Buffer | null) parts.push(part);
  return Buffer.concat(parts);
}

type Pdf = PDFKit.PDFDocument;
type Printable = (text: string) => string;

/** A face as pdfkit holds it while it prints; only what is used here. */
interface Face {
  readonly font: { hasGlyphForCodePoint(codePoint: number): boolean };
  layoutRun(text: string, features: unknown): Run;
}
interface Run {
  readonly glyphs: readonly unknown[];
  readonly positions: readonly { readonly advanceWidth: number }[];
  readonly advanceWidth: number;
}

/**
 * Sets text character by character, each shaped once: without kerning and ligatures a text is as wide as its characters together,
 * and a table of ten thousand numbers is set in a moment (shaping each anew took most of the time of a packet).
 */
function setByCharacter(face: Face): void {
  const shape = face.layoutRun.bind(face);
  const known = new Map<string, Run>();
  face.layoutRun = (text) => {
    const runs = [...text].map((character) => {
      let run = known.get(character);
      if (run === undefined) known.set(character, (run = shape(character, PLAIN)));
      return run;
    });
    return {
      glyphs: runs.flatMap(({ glyphs }) => glyphs),
      // the printer changes them: every text gets its own
      positions: runs.flatMap(({ positions }) => positions.map((position) => ({ ...position }))),
      advanceWidth: runs.reduce((sum, { advanceWidth }) => sum + advanceWidth, 0),
    };
  };
}

const PLAIN = { kern: false, liga: false };
const FEATURES = { features: PLAIN, lineBreak: false } as unknown as PDFKit.Mixins.TextOptions;

function faceOf(pdf: Pdf, name: 'plain' | 'bold'): Face {
  return (pdf.font(name) as unknown as { _font: Face })._font;
}

/** A character that the typeface lacks is printed as its code point: a box would hide what stands there. */
function glyphsOf({ font }: Face): Printable {
  const known = new Map<string, string>();
  const shown = (character: string): string => {
    const codePoint = character.codePointAt(0)!;
    return font.hasGlyphForCodePoint(codePoint) ? character : `‹${codePoint.toString(16).toUpperCase()}›`;
  };
  return (text) =>
    /^[ -~]*$/.test(text)
      ? text
      : [...text.normalize('NFC')]
          .map((character) => {
            let text = known.get(character);
            if (text === undefined) known.set(character, (text = shown(character)));
            return text;
          })
          .join('');
}

/** Widths add up over characters, so each is measured once. */
function measuredBy(pdf: Pdf, printable: Printable): Measure {
  const widths = { plain: new Map<string, number>(), bold: new Map<string, number>() };
  return (text, size, bold) => {
    const face = bold ? 'bold' : 'plain';
    let width = 0;
    for (const character of printable(text)) {
      let one = widths[face].get(character);
      if (one === undefined) {
        one = pdf.font(face).fontSize(1000).widthOfString(character, FEATURES) / 1000;
        widths[face].set(character, one);
      }
      width += one;
    }
    return width * size;
  };
}

function draw(pdf: Pdf, mark: Mark, measure: Measure, printable: Printable): void {
  switch (mark.kind) {
    case 'path': {
      for (const [i, [x, y]] of mark.points.entries()) void (i === 0 ? pdf.moveTo(x, y) : pdf.lineTo(x, y));
      if (mark.closed === true) pdf.closePath();
      pdf.lineWidth(mark.width);
      if (mark.dash !== undefined) pdf.dash(mark.dash[0] ?? 1, { space: mark.dash[1] ?? 1 });
      if (mark.fill === undefined) pdf.stroke(GREYS[mark.stroke]);
      else pdf.fillAndStroke(GREYS[mark.fill], GREYS[mark.stroke]);
      if (mark.dash !== undefined) pdf.undash();
      return;
    }
    case 'segments':
      if (mark.lines.length === 0) return;
      for (const [x1, y1, x2, y2] of mark.lines) pdf.moveTo(x1, y1).lineTo(x2, y2);
      pdf.lineWidth(mark.width).stroke(GREYS[mark.stroke]);
      return;
    case 'rect':
      pdf.rect(mark.x, mark.y, mark.width, mark.height).lineWidth(0.8);
      paint(pdf, mark.fill, mark.stroke);
      return;
    case 'disc':
      pdf.circle(mark.x, mark.y, mark.radius).lineWidth(0.7);
      paint(pdf, mark.fill, mark.stroke);
      return;
    case 'text': {
      const bold = mark.bold === true;
      const width = measure(mark.text, mark.size, bold);
      const left = mark.anchor === 'start' ? 0 : mark.anchor === 'end' ? -width : -width / 2;
      pdf
        .font(bold ? 'bold' : 'plain')
        .fontSize(mark.size)
        .fillColor(GREYS[mark.ink]);
      pdf.save().translate(mark.x, mark.y);
      if (mark.upright === true) pdf.rotate(-90);
      pdf.text(printable(mark.text), left, 0, { ...FEATURES, baseline: 'alphabetic' });
      pdf.restore();
      return;
    }
  }
}

function paint(pdf: Pdf, fill: Ink | null, stroke: Ink | null): void {
  if (fill !== null && stroke !== null) pdf.fillAndStroke(GREYS[fill], GREYS[stroke]);
  else if (fill !== null) pdf.fill(GREYS[fill]);
  else if (stroke !== null) pdf.stroke(GREYS[stroke]);
}
