import type { Page } from '@playwright/test';

/**
 * What of a page's text cannot be read: cut by a box that hides what runs over it and shows no ellipsis, outside the window, lying upon
 * other text, or longer than the field it stands in. Text that was scrolled out of a box with a scroll bar is no finding. While a sheet is
 * open only the sheet is looked at. What is painted on a canvas is not seen here.
 */
export function unreadable(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const SLACK = 1.5;
    interface Piece {
      readonly element: Element;
      readonly words: string;
      readonly box: DOMRect;
    }
    const findings: string[] = [];
    const root = [...document.querySelectorAll('dialog[open]')].at(-1) ?? document.body;
    const place = (element: Element): string => {
      const names: string[] = [];
      for (
        let at: Element | null = element;
        at !== null && at !== document.body && names.length < 3;
        at = at.parentElement
      )
        names.unshift(
          `${at.tagName.toLowerCase()}${[...at.classList]
            .filter((c) => !c.startsWith('svelte-'))
            .map((c) => `.${c}`)
            .join('')}`,
        );
      return names.join(' > ');
    };
    const say = (what: string, { element, words }: Piece): void => {
      findings.push(`${what}: “${words.slice(0, 60)}” in ${place(element)}`);
    };
    const hides = (value: string): boolean => value === 'hidden' || value === 'clip';
    const scrolls = (value: string): boolean => value === 'auto' || value === 'scroll';

    /** The part of a piece that is seen, null where none is meant to be; cuts are told on the way. */
    const seenOf = (piece: Piece): DOMRect | null => {
      if (!piece.element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) return null;
      let { box } = piece;
      let cut = '';
      for (
        let at: Element | null = piece.element;
        at !== null && at !== document.documentElement;
        at = at.parentElement
      ) {
        const style = getComputedStyle(at);
        const isInSvg = at instanceof SVGElement && at.tagName !== 'svg';
        if (style.display === 'inline' || style.display === 'contents' || isInSvg) continue;
        const edge = at.getBoundingClientRect();
        // words for those who hear the page stand in a box of a pixel
        if (edge.width <= 2 || edge.height <= 2) return null;
        const [x, y] = [style.overflowX, style.overflowY];
        const overX = box.right > edge.right + SLACK || box.left < edge.left - SLACK;
        const overY = box.bottom > edge.bottom + 3 || box.top < edge.top - 3;
        if ((scrolls(x) && overX) || (scrolls(y) && overY)) return null;
        if (hides(x) && overX) {
          if (style.textOverflow !== 'ellipsis') cut = 'cut at the side';
          else if (box.left >= edge.right || box.right <= edge.left) return null;
          else box = new DOMRect(box.left, box.top, Math.min(box.right, edge.right) - box.left, box.height);
        }
        if (hides(y) && overY) {
          const isLineLess = box.top >= edge.bottom - 3 || box.bottom <= edge.top + 3;
          // lines left out behind an ellipsis, and the keys of a line that has room for no more
          if (isLineLess && (style.webkitLineClamp !== 'none' || at.matches('footer *'))) return null;
          if (cut === '') cut = 'cut above or below';
        }
        if (style.position === 'fixed') break;
      }
      if (cut === '') return box;
      say(cut, piece);
      return null;
    };

    const pieces: Piece[] = [];
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const words = node.textContent!.trim();
      const element = node.parentElement!;
      if (words === '' || element.closest('select, option, script, style, title, [hidden]') !== null) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const box of range.getClientRects()) {
        if (box.width < 1 || box.height < 1) continue;
        const seen = seenOf({ element, words, box });
        if (seen === null) continue;
        const piece = { element, words, box: seen };
        if (seen.right > innerWidth + SLACK || seen.left < -SLACK || seen.bottom > innerHeight + 3 || seen.top < -3)
          say('outside the window', piece);
        else pieces.push(piece);
      }
    }
    // letters fill less than their line: what overlaps by a little does not touch
    const inner = ({ box }: Piece) => ({
      left: box.left + 1,
      right: box.right - 1,
      top: box.top + 0.22 * box.height,
      bottom: box.bottom - 0.22 * box.height,
    });
    const sorted = pieces.map((piece) => ({ piece, ...inner(piece) })).sort((a, b) => a.top - b.top);
    for (const [i, a] of sorted.entries())
      for (let j = i + 1; j < sorted.length && sorted[j]!.top < a.bottom; j++) {
        const b = sorted[j]!;
        const [wide, high] = [
          Math.min(a.right, b.right) - Math.max(a.left, b.left),
          Math.min(a.bottom, b.bottom) - b.top,
        ];
        if (wide < 2 || high < 2) continue;
        // what an ellipsis stands for has a box of its own
        if (a.piece.element === b.piece.element) continue;
        // what lies above with a ground of its own hides the other: not both are seen
        const x = (Math.max(a.left, b.left) + Math.min(a.right, b.right)) / 2;
        const y = (b.top + Math.min(a.bottom, b.bottom)) / 2;
        const [top] = document.elementsFromPoint(x, y);
        const isOver = (one: Element): boolean => top === one || one.contains(top ?? null);
        const grounded = [a.piece.element, b.piece.element].some(
          (one) => isOver(one) && hasGround(one, one === a.piece.element ? b.piece.element : a.piece.element),
        );
        if (!grounded) say(`on “${a.piece.words.slice(0, 40)}”`, b.piece);
      }
    function hasGround(one: Element, other: Element): boolean {
      for (let at: Element | null = one; at !== null && !at.contains(other); at = at.parentElement) {
        const { backgroundColor, position } = getComputedStyle(at);
        if (position !== 'static' && !/^rgba\(.*, 0\)$|transparent/.test(backgroundColor)) return true;
      }
      return false;
    }
    const ruler = document.createElement('canvas').getContext('2d')!;
    for (const field of root.querySelectorAll(
      'select, input:not([type=checkbox], [type=radio], [type=file], [type=color]), textarea',
    )) {
      const box = field.getBoundingClientRect();
      if (box.width < 3 || box.height < 3) continue;
      const style = getComputedStyle(field);
      let words = (field as HTMLInputElement).value;
      let room = field.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
      if (field instanceof HTMLSelectElement) {
        words = field.selectedOptions[0]?.text ?? '';
        // the arrow of a select that draws its own
        if (style.appearance !== 'none') room -= 16;
      } else if (words === '') words = field.getAttribute('placeholder') ?? '';
      if (field instanceof HTMLTextAreaElement || words === '' || style.textOverflow === 'ellipsis') continue;
      ruler.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
      if (ruler.measureText(words).width > room + 2) say('longer than its field', { element: field, words, box });
    }
    return [...new Set(findings)];
  });
}
