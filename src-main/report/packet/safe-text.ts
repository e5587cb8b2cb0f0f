import { terminalText } from '../terminal-text.ts';

/**
 * Text for a page: control, format and direction characters are shown as their code point, `‹1B›`, so that a name can neither hide
 * nor reorder what stands beside it. Line ends become blanks.
 */
export function pageText(text: string): string {
  return terminalText(text.replace(/\s*[\r\n]+\s*/g, ' '));
}

/** Text inside HTML or SVG, also inside a quoted attribute. */
export function markupText(text: string): string {
  return pageText(text).replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** A file name made of letters, digits, dots and hyphens, for a path in the packet; at most 60 characters. */
export function fileStem(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[^\w.-]+/g, '-')
    .replace(/^[.-]+|[.-]+$/g, '')
    .slice(0, 60)
    .replace(/[.-]+$/, '');
  return plain === '' ? 'unnamed' : plain;
}
