import type { FitProblem } from '../../src-main/api/contract/recording-calls.ts';

/** One matter, with each thing said of it once and the captures of which it is said. */
export interface FitRow {
  readonly name: string;
  /** Levels must not be compared because of it. */
  readonly refuses: boolean;
  readonly said: readonly { readonly text: string; readonly files: readonly string[] }[];
}

/**
 * What speaks against comparing, as it is listed: what forbids comparing first, then in the order given; what is said alike of several
 * captures stands once with their files.
 *
 * @param files of the captures compared; a message that begins with one of them and a colon is about that capture
 */
export function fitRows(problems: readonly FitProblem[], files: readonly string[]): readonly FitRow[] {
  const rows: { name: string; refuses: boolean; said: { text: string; files: string[] }[] }[] = [];
  // of two names of which one begins the other, the longer is meant
  const longestFirst = files.toSorted((a, b) => b.length - a.length);
  for (const { name, weight, message } of problems) {
    const refuses = weight === 'refuses';
    let row = rows.find((other) => other.name === name && other.refuses === refuses);
    if (row === undefined) rows.push((row = { name, refuses, said: [] }));
    const file = longestFirst.find((one) => message.startsWith(`${one}: `));
    const text = file === undefined ? message : message.slice(file.length + 2);
    let same = row.said.find((other) => other.text === text);
    if (same === undefined) row.said.push((same = { text, files: [] }));
    if (file !== undefined && !same.files.includes(file)) same.files.push(file);
  }
  return rows.toSorted((a, b) => Number(b.refuses) - Number(a.refuses));
}
