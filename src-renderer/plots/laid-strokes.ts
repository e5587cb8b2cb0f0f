/** How a trace laid over another is drawn: never a hue (a hue is a source), but a grey and a dash of its own. */
export interface LaidStroke {
  /** Custom property that holds the colour. */
  readonly token: '--then' | '--ink-3' | '--ink-2';
  /** On and off, CSS pixels; empty for a whole line. */
  readonly dash: readonly number[];
}

const STROKES: readonly LaidStroke[] = [
  { token: '--then', dash: [] },
  { token: '--ink-3', dash: [5, 2] },
  { token: '--ink-3', dash: [2, 2] },
  { token: '--ink-2', dash: [8, 2, 2, 2] },
  { token: '--ink-3', dash: [9, 4] },
];

export function laidStroke(index: number): LaidStroke {
  return STROKES[index % STROKES.length]!;
}
