import { InputError, type InputProblem } from '../model/input-problem.ts';
import { RegisterError } from '../register/register-error.ts';
import { problemLine } from '../report/problem-document.ts';
import { terminalText } from '../report/terminal-text.ts';
import { EXIT, type ExitStatus, type Terminal } from './terminal.ts';

/** What went wrong so far in one call: each input's problem told once on standard error and kept for the document. */
export class Collected {
  readonly problems: InputProblem[] = [];
  readonly #terminal: Terminal;
  #faults = 0;

  constructor(terminal: Terminal) {
    this.#terminal = terminal;
  }

  /** Runs one input's work; null where the input is refused or the program itself failed on it, so that the others go on. */
  attempt<T>(file: string, work: () => T): T | null {
    try {
      return work();
    } catch (error) {
      if (error instanceof InputError || error instanceof RegisterError) this.refuse(error.problem);
      else this.#fault(file, error);
      return null;
    }
  }

  refuse(problem: InputProblem): void {
    this.problems.push(problem);
    this.#terminal.err(`${terminalText(problemLine(problem))}\n`);
  }

  warn(file: string, warnings: readonly string[]): void {
    for (const warning of new Set(warnings)) this.#terminal.err(`${terminalText(`${file}: ${warning}`)}\n`);
  }

  get status(): ExitStatus {
    if (this.#faults > 0) return EXIT.fault;
    return this.problems.length > 0 ? EXIT.input : EXIT.done;
  }

  #fault(file: string, error: unknown): void {
    this.#faults++;
    const reason = error instanceof Error ? error.message : String(error);
    this.problems.push({
      file,
      place: 'whole file',
      found: `a fault of the program (${reason})`,
      expected: 'a result',
      wayOut: 'Please report it with the file.',
    });
    this.#terminal.err(`${terminalText(`${file}: fault of the program: ${reason}`)}\n${stackOf(error)}`);
  }
}

function stackOf(error: unknown): string {
  if (!(error instanceof Error) || error.stack === undefined) return '';
  return `${error.stack.split('\n').map(terminalText).join('\n')}\n`;
}
