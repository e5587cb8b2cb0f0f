import type { Capture } from '../../model/capture.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { Register } from '../../register/register.ts';

/** Corrections by the name of the layout (see readers/layout-key.ts), and by the SHA-256 of the captures that were read with them. */
const OF_LAYOUTS = 'reading of layouts';
const OF_CAPTURES = 'reading of captures';

type Kept = Readonly<Record<string, ReadingHints>>;

/** The corrections remembered for a layout, null where there are none. */
export function hintsOfLayout({ settings }: Register, layoutKey: string): ReadingHints | null {
  return kept(settings.get(OF_LAYOUTS))[layoutKey] ?? null;
}

/** Remembers corrections for a layout; null, or no correction at all, forgets them. */
export function rememberLayout({ settings }: Register, layoutKey: string, hints: ReadingHints | null): void {
  const { [layoutKey]: _before, ...others } = kept(settings.get(OF_LAYOUTS));
  const isEmpty = hints === null || Object.keys(hints).length === 0;
  if (isEmpty && _before === undefined) return;
  settings.put(OF_LAYOUTS, isEmpty ? others : { ...others, [layoutKey]: hints });
}

/** What a capture's bytes must be read with to give what is kept of it. */
export function hintsOfCapture({ settings }: Register, sha256: string): ReadingHints | undefined {
  return kept(settings.get(OF_CAPTURES))[sha256];
}

export function keepHintsOfCapture({ settings }: Register, sha256: string, hints: ReadingHints | undefined): void {
  const { [sha256]: before, ...others } = kept(settings.get(OF_CAPTURES));
  const isEmpty = hints === undefined || Object.keys(hints).length === 0;
  if (isEmpty && before === undefined) return;
  settings.put(OF_CAPTURES, isEmpty ? others : { ...others, [sha256]: hints });
}

/** A capture that was read with remembered corrections says so first. */
export function asRemembered(capture: Capture): Capture {
  const said = 'Read with the corrections that you made for an earlier file of this layout.';
  return { ...capture, warnings: [said, ...capture.warnings] };
}

function kept(value: unknown): Kept {
  return (value ?? {}) as Kept;
}
