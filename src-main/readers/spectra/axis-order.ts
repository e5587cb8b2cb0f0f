import { InputError } from '../../model/input-problem.ts';

/** An ascending frequency axis and, for each of its points, where that point stands in the file. */
export interface OrderedAxis {
  readonly frequencyHz: Float64Array;
  readonly from: Int32Array;
  readonly warnings: readonly string[];
}

/**
 * Frequencies as a file gives them, made strictly ascending: turned round where they run downwards; where one frequency is stated for
 * several neighbouring points, the first of them in the file is kept.
 *
 * @param place what the axis is called in messages, e.g. `column FREQUENCY`
 * @throws InputError for frequencies that go up and down, are not finite, or fewer than two
 */
export function orderAxis(valuesHz: Float64Array, place: string, file: string): OrderedAxis {
  const n = valuesHz.length;
  const problem = (where: string, found: string, expected: string): InputError =>
    new InputError({
      file,
      place: where,
      found,
      expected,
      wayOut: 'Check that this is the frequency axis, and that the file is whole.',
    });
  const bad = valuesHz.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) throw problem(`${place}, point ${bad + 1}`, String(valuesHz[bad]), 'a finite frequency');
  const rising = n > 1 && valuesHz[n - 1]! > valuesHz[0]!;
  const kept: number[] = [];
  for (let i = 0; i < n; i++) {
    const before = kept.length === 0 ? null : valuesHz[kept[kept.length - 1]!]!;
    const value = valuesHz[i]!;
    if (before === null || (rising ? value > before : value < before)) kept.push(i);
    else if (value !== before)
      throw problem(
        `${place}, point ${i + 1}`,
        `${value} Hz after ${before} Hz`,
        `frequencies that ${rising ? 'rise' : 'fall'} throughout`,
      );
  }
  if (kept.length < 2) throw problem(place, `${kept.length} different frequencies`, 'at least two');
  const warnings: string[] = [];
  const repeated = n - kept.length;
  if (repeated > 0)
    warnings.push(
      `${repeated} of ${n} points state a frequency that a neighbour has already; the first of each was kept.`,
    );
  if (!rising) {
    kept.reverse();
    warnings.push('The frequencies run downwards in the file; they were turned round.');
  }
  return {
    frequencyHz: Float64Array.from(kept, (i) => valuesHz[i]!),
    from: Int32Array.from(kept),
    warnings,
  };
}
