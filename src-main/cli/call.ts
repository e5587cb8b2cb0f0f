import { parseArgs } from 'node:util';
import type { OpenOptions } from '../api/steps/open-capture.ts';
import type { PlanSettings } from '../model/plan.ts';
import { READING_OPTION_NAMES, READING_OPTIONS, readingOptions } from './reading-options.ts';
import { SPECTRUM_OPTION_NAMES, SPECTRUM_OPTIONS, spectrumOptions } from './spectrum-options.ts';
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
  /** How recordings become spectra. */
  readonly open: OpenOptions;
}

export type Call =
  | { readonly command: 'help' | 'version' }
  | ({ readonly command: 'read'; readonly captures: readonly string[] } & Pick<Shown, 'json' | 'open'>)
  | ({ readonly command: 'triage'; readonly captures: readonly string[]; readonly tables: Tables } & Shown)
  | ({
      readonly command: 'compare';
      readonly before: readonly string[];
      readonly after: readonly string[];
      /** Several files of a side are the same thing set up anew, not sweeps of one set-up. */
      readonly reRigged: boolean;
      readonly tables: Tables;
    } & Shown)
  | {
      readonly command: 'plan';
      readonly tables: Tables;
      readonly json: boolean;
      /** Only what the call states. */
      readonly settings: Partial<Pick<PlanSettings, 'seed' | 'leakageHz' | 'temperatureSpanK'>>;
    }
  | {
      readonly command: 'packet';
      readonly register: string;
      readonly out: string;
      /** File of an Ed25519 private key (PEM); null: not signed. */
      readonly key: string | null;
      readonly json: boolean;
    }
  | {
      readonly command: 'verify';
      readonly packet: string;
      /** File of the key that must have signed (PEM); null: any, or none. */
      readonly publicKey: string | null;
      readonly json: boolean;
    };

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
  seed: { type: 'string', multiple: true },
  'leakage-hz': { type: 'string', multiple: true },
  'temperature-span-k': { type: 'string', multiple: true },
  out: { type: 'string', multiple: true },
  key: { type: 'string', multiple: true },
  'public-key': { type: 'string', multiple: true },
  ...SPECTRUM_OPTIONS,
  ...READING_OPTIONS,
} as const;

type OptionName = keyof typeof OPTIONS;

const TABLE_OPTIONS: readonly OptionName[] = ['sources', 'conditions', 'bands', 'register', 'trace'];
const OPEN_OPTIONS: readonly OptionName[] = [...SPECTRUM_OPTION_NAMES, ...READING_OPTION_NAMES];
const ALLOWED: Readonly<Record<'read' | 'triage' | 'compare' | 'plan' | 'packet' | 'verify', readonly OptionName[]>> = {
  read: ['json', ...OPEN_OPTIONS],
  triage: ['json', ...TABLE_OPTIONS, ...OPEN_OPTIONS],
  compare: ['json', ...TABLE_OPTIONS, ...OPEN_OPTIONS, 'before', 'after', 're-rigged'],
  plan: ['json', 'sources', 'bands', 'seed', 'leakage-hz', 'temperature-span-k'],
  packet: ['json', 'register', 'out', 'key'],
  verify: ['json', 'public-key'],
};
const COMMANDS = 'read, triage, compare, plan, packet or verify';

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
  if (command === undefined) throw new WrongCall(`no command given; expected ${COMMANDS}`);
  if (!isCommand(command)) throw new WrongCall(`unknown command "${command}"; expected ${COMMANDS}`);
  for (const name of Object.keys(values) as OptionName[]) {
    if (!ALLOWED[command].includes(name)) throw new WrongCall(`"${command}" takes no --${name}`);
  }

  if (command === 'packet') return packetCall(positionals, values);
  if (command === 'verify') return verifyCall(positionals, values);
  const spectra = spectrumOptions((name) => only(values, name));
  const open = { ...spectra, hints: { ...spectra.hints, ...readingOptions((name) => only(values, name)) } };
  const shown = { json: values.json === true, trace: traceNumber(only(values, 'trace')), open };
  const tables: Tables = {
    sources: only(values, 'sources'),
    conditions: only(values, 'conditions'),
    bands: only(values, 'bands'),
    register: only(values, 'register'),
  };
  if (command === 'plan') return planCall(positionals, values, tables);
  if (command === 'compare')
    return { command, ...sidesOf(tokens), reRigged: values['re-rigged'] === true, tables, ...shown };
  if (positionals.length === 0) throw new WrongCall(`"${command}" needs at least one capture file`);
  return command === 'read'
    ? { command, captures: positionals, json: shown.json, open }
    : { command, captures: positionals, tables, ...shown };
}

function isCommand(word: string): word is keyof typeof ALLOWED {
  return Object.hasOwn(ALLOWED, word);
}

function packetCall(positionals: readonly string[], values: Parsed['values']): Extract<Call, { command: 'packet' }> {
  if (positionals.length > 0) throw new WrongCall(`"packet" takes no file of its own, found "${positionals[0]}"`);
  const [register, out] = [only(values, 'register'), only(values, 'out')];
  if (register === null) throw new WrongCall('"packet" needs --register FILE');
  if (out === null) throw new WrongCall('"packet" needs --out FOLDER');
  return { command: 'packet', register, out, key: only(values, 'key'), json: values.json === true };
}

function verifyCall(positionals: readonly string[], values: Parsed['values']): Extract<Call, { command: 'verify' }> {
  if (positionals.length !== 1)
    throw new WrongCall(`"verify" needs the folder of one packet, found ${positionals.length} names`);
  return {
    command: 'verify',
    packet: positionals[0]!,
    publicKey: only(values, 'public-key'),
    json: values.json === true,
  };
}

function planCall(
  positionals: readonly string[],
  values: Parsed['values'],
  tables: Tables,
): Extract<Call, { command: 'plan' }> {
  if (positionals.length > 0) throw new WrongCall(`"plan" takes no file of its own, found "${positionals[0]}"`);
  for (const name of ['sources', 'bands'] as const)
    if (tables[name] === null) throw new WrongCall(`"plan" needs --${name} FILE.csv`);
  const seed = wholeOption(values, 'seed');
  const leakageHz = numberOption(values, 'leakage-hz');
  const temperatureSpanK = numberOption(values, 'temperature-span-k');
  return {
    command: 'plan',
    tables,
    json: values.json === true,
    settings: {
      ...(seed === null ? {} : { seed }),
      ...(leakageHz === null ? {} : { leakageHz }),
      ...(temperatureSpanK === null ? {} : { temperatureSpanK }),
    },
  };
}

function wholeOption(values: Parsed['values'], name: 'seed'): number | null {
  const text = only(values, name);
  if (text !== null && !/^\d{1,9}$/.test(text))
    throw new WrongCall(`--${name} is "${text}"; expected a whole number from 0 to 999999999`);
  return text === null ? null : Number(text);
}

function numberOption(values: Parsed['values'], name: 'leakage-hz' | 'temperature-span-k'): number | null {
  const text = only(values, name);
  if (text !== null && !/^(\d+\.?\d*|\.\d+)(e[+-]?\d{1,2})?$/i.test(text))
    throw new WrongCall(`--${name} is "${text}"; expected a number from 0`);
  return text === null ? null : Number(text);
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
  name: Exclude<OptionName, 'json' | 'help' | 'version' | 'before' | 'after' | 're-rigged'>,
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
