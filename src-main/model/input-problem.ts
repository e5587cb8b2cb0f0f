/** What is wrong with an input, in the five parts that every message to a user has. */
export interface InputProblem {
  /** The file or field the user knows, e.g. `lid-on.csv` or `sources.csv`. */
  readonly file: string;
  /** Where in it: `line 14, column 2`, `byte 4096`, `row 3 (designator "U7")`. */
  readonly place: string;
  readonly found: string;
  readonly expected: string;
  /** What the user can do about it. */
  readonly wayOut: string;
}

/** Thrown by readers and table parsers for anything wrong with the input itself; adds nothing anywhere. */
export class InputError extends Error {
  readonly problem: InputProblem;
  constructor(problem: InputProblem) {
    super(`${problem.file}, ${problem.place}: found ${problem.found}; expected ${problem.expected}. ${problem.wayOut}`);
    this.name = 'InputError';
    this.problem = problem;
  }
}
