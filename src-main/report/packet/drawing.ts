/** Ink of a mark: names, so that page and print choose their own greys; print has no other colour. */
export type Ink = 'ink' | 'grey' | 'pale' | 'paper' | 'over';

/** One mark of a drawing. Lengths in points, y downwards. */
export type Mark =
  | {
      readonly kind: 'path';
      readonly points: readonly (readonly [x: number, y: number])[];
      readonly stroke: Ink;
      readonly width: number;
      readonly dash?: readonly number[];
      readonly closed?: boolean;
      readonly fill?: Ink;
    }
  | {
      readonly kind: 'segments';
      readonly lines: readonly (readonly [number, number, number, number])[];
      readonly stroke: Ink;
      readonly width: number;
    }
  | {
      readonly kind: 'rect';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly fill: Ink | null;
      readonly stroke: Ink | null;
    }
  | {
      readonly kind: 'disc';
      readonly x: number;
      readonly y: number;
      readonly radius: number;
      readonly fill: Ink | null;
      readonly stroke: Ink;
    }
  | {
      readonly kind: 'text';
      readonly x: number;
      readonly y: number;
      readonly size: number;
      readonly text: string;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly ink: Ink;
      readonly bold?: boolean;
      readonly upright?: boolean;
    };

export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  /** What it shows, in words, for who cannot see it. */
  readonly alt: string;
}
