import type { Cause } from '../../src-main/model/attribution.ts';
import type { OwnerLook } from '../state/source-names.ts';

/** What a piece of a mark is filled with: a source's tint (index into the owners), paper, ink, or nothing. */
export type ShapeFill = 0 | 1 | 'paper' | 'ink' | 'none';

export interface ShapePiece {
  readonly path: string;
  readonly fill: ShapeFill;
  /** Width of the ink edge; 0 for none. */
  readonly edge: number;
}

const disc = (x: number, r: number) => `M${x - r} 0A${r} ${r} 0 1 1 ${x + r} 0A${r} ${r} 0 1 1 ${x - r} 0Z`;

/**
 * The marks of cause as paths about the origin at radius 5. One definition for the canvas and for the page's own drawings.
 * Round: from the build; fill: how much is known; square: the measuring kit; arch: from outside.
 */
export const CAUSE_SHAPES: Readonly<Record<Cause, readonly ShapePiece[]>> = {
  source: [{ path: disc(0, 5), fill: 0, edge: 1.25 }],
  ambiguous: [
    { path: 'M-1.3 -5.5A5.6 5.6 0 0 0 -1.3 5.5Z', fill: 0, edge: 1.25 },
    { path: 'M1.3 -5.5A5.6 5.6 0 0 1 1.3 5.5Z', fill: 1, edge: 1.25 },
  ],
  // Two sources are both there: one disc, an upper and a lower half, as the lower half of a shared tooth is filled.
  shared: [
    { path: 'M-5 0A5 5 0 0 1 5 0Z', fill: 0, edge: 1.25 },
    { path: 'M-5 0A5 5 0 0 0 5 0Z', fill: 1, edge: 1.25 },
  ],
  'unknown-comb': [
    { path: 'M-7.6 0H7.6', fill: 'none', edge: 1.2 },
    { path: disc(-5.2, 2.3), fill: 'paper', edge: 1.25 },
    { path: disc(0, 2.3), fill: 'paper', edge: 1.25 },
    { path: disc(5.2, 2.3), fill: 'paper', edge: 1.25 },
  ],
  beat: [
    { path: disc(-2.7, 3.7), fill: 0, edge: 1.25 },
    { path: disc(2.7, 3.7), fill: 1, edge: 1.25 },
  ],
  sideband: [
    { path: disc(-1.5, 3.9), fill: 0, edge: 1.25 },
    { path: disc(5, 2), fill: 1, edge: 1.25 },
  ],
  ambient: [{ path: 'M-5 4V0.5A5 5 0 0 1 5 0.5V4', fill: 'none', edge: 1.8 }],
  instrument: [
    { path: 'M-4.3 -4.3H4.3V4.3H-4.3Z', fill: 'paper', edge: 1.25 },
    { path: 'M-1.4 -1.4H1.4V1.4H-1.4Z', fill: 'ink', edge: 0 },
  ],
  unexplained: [{ path: disc(0, 5), fill: 'paper', edge: 1.6 }],
};

/** The CSS paint of a tint; stripes are a pattern of the page (see MarkDefs). */
export function tintPaint(look: OwnerLook | undefined): string {
  if (look === undefined || look.tint === null) return 'var(--paper)';
  return look.stripe ? `url(#stripe-${look.tint})` : `var(--tint-${look.tint})`;
}
