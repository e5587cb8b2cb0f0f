import { parseArgs } from 'node:util';
import { WrongCall } from './terminal.ts';

export interface Tables {
  readonly sources: string | null;
  readonly conditions: string | null;
  readonly bands: string | null;
  readonly register: string | null;
}

interface Shown {
  readonly json: boolean;
  /** 1-based number of the trace to take from each file; null: the first that is not blank. */
  readonly trace: number | null;
}

export type Call =
  | { readonly command: 'help' | 'version' }
  | ({ readonly command: 'read'; readonly captures: readonly string[] } & Pick<Shown, 'json'>)
  | ({ readonly command: 'triage'; readonly captures: readonly string[]; readonly tables: Tables } & Shown)
  | ({
      readonly command: 'compare';
      readonly before: readonly string[];
      readonly after: readonly string[];
      /** Several files of a side are the same thing set up anew, not sweeps of one set-up. */
      readonly reRigged: boolean;
      readonly tables: Tables;
    } & Shown);

const OPTIONS = {
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
  version: { type: 'boolean' },
  sources: { type: 'string', multiple: true },
  conditions: { type: 'string', multiple: true },
  bands: { type: 'string', multiple: true },
  register: { type: 'string', multiple: true },
  trace: { type: 'string', multiple: true },
  before: { type: 'string', multiple: true },
  after: { type: 'string', multiple: true },
  're-rigged': { type: 'boolean' },
} as const;

type OptionName = keyof typeof OPTIONS;

const TABLE_OPTIONS: readonly OptionName[] = ['sources', 'conditions', 'bands', 'register', 'trace'];
const ALLOWED: Readonly<Record<'read' | 'triage' | 'compare', readonly OptionName[]>> = {
  read: ['json'],
  triage: ['json', ...TABLE_OPTIONS],
  compare: ['json', ...TABLE_OPTIONS, 'before', 'after', 're-rigged'],
};
const LATER = ['plan', 'packet', 'verify'];

/**
 * A command line (without node and script) as a call.
 *
 * @throws WrongCall with one sentence saying what was found and what was expected. No file is touched.
 */
export function parseCall(words: readonly string[]): Call {
  const { values, tokens } = parsed(words);
  if (values.help === true || words[0] === 'help') return { command: 'help' };
  if (values.version === true) return { command: 'version' };

  const [command, ...positionals] = tokens.filter((token) => token.kind === 'positional').map((token) => token.value);
  if (command === undefined) throw new WrongCall('no command given; expected read, triage or compare');
  if (LATER.includes(command))
    throw new WrongCall(`"${command}" is not in this version yet; expected read, triage or compare`);
  if (command !== 'read' && command !== 'triage' && command !== 'compare') {
    throw new WrongCall(`unknown command "${command}"; expected read, triage or compare`);
  }
  for (const name of Object.keys(values) as OptionName[]) {
    if (!ALLOWED[command].includes(name)) throw new WrongCall(`"${command}" takes no --${name}`);
  }

  const shown = { json: values.json === true, trace: traceNumber(only(values, 'trace')) };
  const tables: Tables = {
    sources: only(values, 'sources'),
    conditions: only(values, 'conditions'),
    bands: only(values, 'bands'),
    register: only(values, 'register'),
  };
  if (command === 'compare')
    return { command, ...sidesOf(tokens), reRigged: values['re-rigged'] === true, tables, ...shown };
  if (positionals.length === 0) throw new WrongCall(`"${command}" needs at least one capture file`);
  return command === 'read'
    ? { command, captures: positionals, json: shown.json }
    : { command, captures: positionals, tables, ...shown };
}

function parsed(words: readonly string[]) {
  try {
    return parseArgs({ args: [...words], options: OPTIONS, allowPositionals: true, strict: true, tokens: true });
  } catch (error) {
    // Only the first sentence: Node adds a hint that helps a programmer and not a caller.
    if (error instanceof TypeError && 'code' in error)
      throw new WrongCall(error.message.split('. ')[0], { cause: error });
    throw error;
  }
}

type Parsed = ReturnType<typeof parsed>;

/** The one value of an option; giving an option twice is a slip that must not pass silently. */
function only(
  values: Parsed['values'],
  name: 'sources' | 'conditions' | 'bands' | 'register' | 'trace',
): string | null {
  const given = values[name] ?? [];
  if (given.length > 1) throw new WrongCall(`--${name} is given ${given.length} times; expected once`);
  if (given[0] === '') throw new WrongCall(`--${name} is given without a value`);
  return given[0] ?? null;
}

function traceNumber(text: string | null): number | null {
  if (text === null) return null;
  if (!/^[1-9]\d{0,8}$/.test(text))
    throw new WrongCall(`--trace is "${text}"; expected the number of a trace: 1, 2, 3 …`);
  return Number(text);
}

/** `--before A B --after C D`: a file without an option of its own belongs to the side named last. */
function sidesOf(tokens: Parsed['tokens']): { before: readonly string[]; after: readonly string[] } {
  const sides: Record<'before' | 'after', string[]> = { before: [], after: [] };
  let side: 'before' | 'after' | null = null;
  let isCommand = true;
  for (const token of tokens) {
    if (token.kind === 'option') {
      side = token.name === 'before' || token.name === 'after' ? token.name : null;
      if (side !== null) sides[side].push(token.value ?? '');
    } else if (token.kind === 'positional') {
      if (isCommand) isCommand = false;
      else if (side === null)
        throw new WrongCall(`"${token.value}" belongs to no side; expected it after --before or --after`);
      else sides[side].push(token.value);
    }
  }
  for (const name of ['before', 'after'] as const) {
    if (sides[name].length === 0) throw new WrongCall(`"compare" needs --${name} with at least one capture file`);
  }
  return sides;
}
