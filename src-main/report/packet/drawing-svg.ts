import type { Drawing, Ink, Mark } from './drawing.ts';
import { markupText } from './safe-text.ts';

const GREYS: Readonly<Record<Ink, string>> = { ink: '#111', grey: '#666', pale: '#eee', paper: '#fff', over: '#111' };

/** A drawing as SVG (1.1), in ink and greys on white. `id` makes its title's name its own on a page with several. */
export function drawingSvg({ width, height, marks, alt }: Drawing, id: string): string {
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" ` +
    `aria-labelledby="${id}" font-family="'Source Sans 3', 'Noto Sans', 'DejaVu Sans', sans-serif">` +
    `<title id="${id}">${markupText(alt)}</title>${marks.map(markSvg).join('')}</svg>`
  );
}

function markSvg(mark: Mark): string {
  switch (mark.kind) {
    case 'path':
      return (
        `<path d="M${mark.points.map(([x, y]) => `${n(x)} ${n(y)}`).join('L')}${mark.closed === true ? 'Z' : ''}" ` +
        `fill="${colour(mark.fill ?? null)}" stroke="${colour(mark.stroke)}" stroke-width="${mark.width}"` +
        `${mark.dash === undefined ? '' : ` stroke-dasharray="${mark.dash.join(' ')}"`}/>`
      );
    case 'segments':
      return `<path d="${mark.lines.map(([a, b, c, d]) => `M${n(a)} ${n(b)}L${n(c)} ${n(d)}`).join('')}" fill="none" stroke="${colour(mark.stroke)}" stroke-width="${mark.width}"/>`;
    case 'rect':
      return `<rect x="${n(mark.x)}" y="${n(mark.y)}" width="${n(mark.width)}" height="${n(mark.height)}" fill="${colour(mark.fill)}" stroke="${colour(mark.stroke)}"/>`;
    case 'disc':
      return `<circle cx="${n(mark.x)}" cy="${n(mark.y)}" r="${mark.radius}" fill="${colour(mark.fill)}" stroke="${colour(mark.stroke)}" stroke-width="0.7"/>`;
    case 'text': {
      const turned = mark.upright === true ? ` transform="rotate(-90 ${n(mark.x)} ${n(mark.y)})"` : '';
      return `<text x="${n(mark.x)}" y="${n(mark.y)}" font-size="${mark.size}" text-anchor="${mark.anchor}" fill="${colour(mark.ink)}"${mark.bold === true ? ' font-weight="600"' : ''}${turned}>${markupText(mark.text)}</text>`;
    }
  }
}

/** Hundredths of a point: finer than any printer, and the same text on every machine. */
function n(value: number): string {
  return String(Math.round(value * 100) / 100);
}

function colour(ink: Ink | null): string {
  return ink === null ? 'none' : GREYS[ink];
}
