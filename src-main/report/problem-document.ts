import type { InputProblem } from '../model/input-problem.ts';

/** An input problem as the JSON documents carry it (added field `problems`). */
export interface ProblemDocument {
  readonly [field: string]: string;
  readonly file: string;
  readonly place: string;
  readonly found: string;
  readonly expected: string;
  readonly way_out: string;
}

export function problemDocument(problem: InputProblem): ProblemDocument {
  return {
    file: problem.file,
    place: problem.place,
    found: problem.found,
    expected: problem.expected,
    way_out: problem.wayOut,
  };
}

/** The five parts as the one line that a terminal shows. */
export function problemLine(problem: InputProblem): string {
  return `${problem.file}, ${problem.place}: found ${problem.found}; expected ${problem.expected}. ${problem.wayOut}`;
}
