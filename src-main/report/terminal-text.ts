/**
 * Text from a file made safe for a terminal: control characters (C0, DEL, C1: escape sequences start with them) and the
 * characters that reorder or hide text are shown as their code point, `‹1B›`. Line ends inside a cell too, so that a table stays a table.
 */
export function terminalText(text: string): string {
  return text.replace(
    UNSAFE,
    (character) => `‹${character.codePointAt(0)!.toString(16).toUpperCase().padStart(2, '0')}›`,
  );
}

// Cc: controls; Cf: format characters, among them direction overrides and zero-width marks; Zl and Zp: line and paragraph separators.
const UNSAFE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;
