import type { Block, PacketDocument } from './document.ts';
import { drawingSvg } from './drawing-svg.ts';
import { PAGE_SCRIPT } from './page-script.ts';
import { PAGE_STYLE } from './page-style.ts';
import { markupText } from './safe-text.ts';

/**
 * The document as one HTML file that stands alone: pictures inline, one style, one script, and a content policy that allows exactly
 * these two and no network.
 *
 * @param sha256Base64 SHA-256 of a text's UTF-8 bytes in base64, for the content policy
 */
export function documentHtml(document: PacketDocument, sha256Base64: (text: string) => string): string {
  const policy =
    `default-src 'none'; style-src 'sha256-${sha256Base64(PAGE_STYLE)}'; script-src 'sha256-${sha256Base64(PAGE_SCRIPT)}'; ` +
    `base-uri 'none'; form-action 'none'`;
  const chapters = document.blocks.flatMap((block, i) =>
    block.kind === 'heading' && block.level === 2 ? [{ id: `b${i}`, text: block.text }] : [],
  );
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${markupText(document.title)}</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<main>
${document.blocks.map((block, i) => blockHtml(block, `b${i}`)).join('\n')}
</main>
<nav aria-label="Chapters"><h2 id="chapters">Chapters</h2><ol>${chapters.map(({ id, text }) => `<li><a href="#${id}">${markupText(text)}</a></li>`).join('')}</ol></nav>
<footer>${markupText(document.running)}</footer>
<script>${PAGE_SCRIPT}</script>
</body>
</html>
`;
}

function blockHtml(block: Block, id: string): string {
  switch (block.kind) {
    case 'heading':
      return `<h${block.level} id="${id}">${markupText(block.text)}</h${block.level}>`;
    case 'paragraph':
      return `<p${block.tone === 'plain' ? '' : ` class="${block.tone}"`}>${markupText(block.text)}</p>`;
    case 'list':
      return listHtml(block.items);
    case 'box':
      return `<section class="box" aria-labelledby="${id}"><h2 id="${id}">${markupText(block.title)}</h2>${listHtml(block.items)}</section>`;
    case 'facts':
      return `<dl>${block.pairs.map(([name, value]) => `<dt>${markupText(name)}</dt><dd>${markupText(value)}</dd>`).join('')}</dl>`;
    case 'table':
      return tableHtml(block, id);
    case 'figure':
      return `<figure><div class="frame" role="group" aria-label="${markupText(`Figure, zooms with + and −: ${block.caption}`)}">${drawingSvg(block.drawing, id)}</div><figcaption>${markupText(block.caption)}</figcaption></figure>`;
    case 'page':
      return '';
  }
}

function listHtml(items: readonly string[]): string {
  return `<ul>${items.map((item) => `<li>${markupText(item)}</li>`).join('')}</ul>`;
}

function tableHtml({ caption, columns, rows }: Extract<Block, { kind: 'table' }>, id: string): string {
  const of = (i: number): string => (columns[i]!.align === 'right' ? ' class="right"' : '');
  const head = columns.map(({ head }, i) => `<th scope="col"${of(i)}>${markupText(head)}</th>`).join('');
  const body = rows
    .map((row) => `<tr>${row.map((cell, i) => `<td${of(i)}>${markupText(cell)}</td>`).join('')}</tr>`)
    .join('\n');
  // a wide table scrolls inside its frame, which the keyboard must reach
  return `<div class="scroll" tabindex="0" role="group" aria-labelledby="${id}"><table><caption id="${id}">${markupText(caption)}</caption><thead><tr>${head}</tr></thead><tbody>
${body}
</tbody></table></div>`;
}
