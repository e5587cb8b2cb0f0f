import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

/** The typeface of the print: Source Sans 3, SIL Open Font Licence 1.1; embedded as the subset that is used. */
const folder = (): string =>
  dirname(createRequire(import.meta.url).resolve('@expo-google-fonts/source-sans-3/package.json'));

export interface PacketFonts {
  readonly plain: Buffer;
  readonly bold: Buffer;
}

let known: PacketFonts | null = null;

export function packetFonts(): PacketFonts {
  known ??= {
    plain: readFileSync(join(folder(), '400Regular', 'SourceSans3_400Regular.ttf')),
    bold: readFileSync(join(folder(), '600SemiBold', 'SourceSans3_600SemiBold.ttf')),
  };
  return known;
}

/** The licence that travels with the embedded typeface. */
export function fontLicence(): string {
  return readFileSync(join(folder(), 'LICENSE_FONT'), 'utf8').replaceAll('\r\n', '\n');
}
