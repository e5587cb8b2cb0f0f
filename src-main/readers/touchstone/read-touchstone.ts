import type { ReadCapture } from '../../model/capture.ts';
import type { FrequencyTable } from '../../model/frequency-table.ts';
import { InputError } from '../../model/input-problem.ts';
import { allLines, textBytes } from '../delimited/text.ts';
import { VERSION_1, withKeyword, type Keywords } from './keywords.ts';
import { numbersOn, type DataLine } from './numbers.ts';
import { parseOptions, type Options } from './option-line.ts';

/** Gains weaker than this are the zero of a file that writes 0 for “none”. */
const WEAKEST_DB = -400;
const MOST_PORTS = 2;

/**
 * Gains and reflections from a file of network parameters of one or two ports (Touchstone File Format Specification, version 1.1 and
 * 2.0; published by the IBIS Open Forum).
 *
 * Scattering parameters only: |S21|² is the gain from port 1 to port 2 in decibels, in the stated reference resistance; S12 the gain
 * backwards; S11 and S22 the reflections. Phases, and the noise data behind the network data, are passed over. The tables are what a
 * calibration chain takes; there is no trace.
 *
 * @throws InputError with the line where something is wrong
 */
export function readTouchstone(input: Uint8Array, file: string): ReadCapture {
  const lines = allLines(textBytes(input, file));
  const warnings: string[] = [];
  let keywords: Keywords = VERSION_1;
  let options: Options | null = null;
  const data: DataLine[] = [];
  let part: 'head' | 'network' | 'noise' | 'information' = 'head';
  let passedOver = 0;
  let awaitsReference = false;
  for (const [l, line] of lines.entries()) {
    const bare = line.trim();
    const keyword = /^\[([^\]]{1,60})\]\s*(.*)$/.exec(bare.replace(/!.*$/, ''));
    if (keyword !== null) {
      const name = keyword[1]!.trim();
      keywords = withKeyword(keywords, name, keyword[2]!);
      awaitsReference = /^reference$/i.test(name) && keywords.referenceOhm.length === 0;
      if (/^network data$/i.test(name)) part = 'network';
      else if (/^noise data$/i.test(name)) part = 'noise';
      else if (/^begin information$/i.test(name)) part = 'information';
      else if (/^end information$/i.test(name)) part = 'head';
      else if (/^end$/i.test(name)) break;
      continue;
    }
    if (bare === '' || bare.startsWith('!') || part === 'information') continue;
    if (bare.startsWith('#')) {
      // only the first option line counts
      options ??=
        parseOptions(bare) ?? refuse(file, l + 1, `“${bare.slice(0, 60)}”`, 'an option line such as # MHz S DB R 50');
      if (keywords.version === 1) part = 'network';
      continue;
    }
    const numbers = numbersOn(line, l + 1, file);
    if (numbers === null) continue;
    if (awaitsReference) {
      keywords = withKeyword(keywords, 'reference', numbers.values.join(' '));
      awaitsReference = false;
    } else if (part === 'network') data.push(numbers);
    else if (part === 'noise') passedOver++;
    else refuse(file, l + 1, 'numbers before the option line or the network data', 'an option line (#) first');
  }
  if (options === null) return refuse(file, 1, 'no option line', 'a line such as # MHz S DB R 50');
  if (options.parameter !== 'S')
    return refuse(file, 1, `${options.parameter} parameters`, 'scattering (S) parameters', 'Export S parameters.');

  const ports = keywords.ports ?? portsByName(file) ?? portsByData(data);
  if (ports < 1 || ports > MOST_PORTS)
    return refuse(file, 1, `${ports} ports`, 'one or two', 'Export the two ports between which the gain is meant.');
  const records = recordsOf(data, ports, keywords, file, warnings);
  passedOver += records.noiseLines;
  if (passedOver > 0) warnings.push(`${passedOver} line(s) of noise data were passed over.`);
  if (keywords.statedFrequencies !== null && keywords.statedFrequencies !== records.rows.length)
    warnings.push(`The file states ${keywords.statedFrequencies} frequencies and has ${records.rows.length}.`);
  const tables = tablesOf(records.rows, ports, options, keywords, file, warnings);
  return {
    layout: `network parameters (Touchstone version ${keywords.version}), ${ports} port(s), ${options.format}, ${records.rows.length} frequencies, ${options.referenceOhm} ohm`,
    traces: [],
    tables,
    warnings,
  };
}

/** One frequency with its numbers, and the line it begins on. */
interface NetworkRecord {
  readonly line: number;
  readonly frequency: number;
  readonly numbers: readonly number[];
}

/**
 * Records of one frequency each. In version 1 noise data follow without a mark: they begin where the frequency no longer rises and
 * lines have five numbers.
 */
function recordsOf(
  data: readonly DataLine[],
  ports: number,
  keywords: Keywords,
  file: string,
  warnings: string[],
): { rows: NetworkRecord[]; noiseLines: number } {
  const each = 2 * (keywords.matrix !== 'full' && ports === 2 ? 3 : ports * ports);
  const rows: NetworkRecord[] = [];
  for (let d = 0; d < data.length; d++) {
    const { line, values } = data[d]!;
    const [frequency, ...numbers] = values as [number, ...number[]];
    const before = rows.at(-1);
    const rises = before === undefined || frequency > before.frequency;
    if (!rises && keywords.version === 1 && ports === 2 && values.length === 5)
      return { rows, noiseLines: data.length - d };
    if (!rises) return refuse(file, line, `${frequency} after ${before.frequency}`, 'frequencies that rise throughout');
    if (frequency < 0) return refuse(file, line, `the frequency ${frequency}`, 'a frequency of at least 0');
    // a record may go on over further lines
    while (numbers.length < each && d + 1 < data.length && data[d + 1]!.values.length % 2 === 0)
      numbers.push(...data[++d]!.values);
    if (numbers.length !== each) {
      if (d >= data.length - 1 && numbers.length < each && rows.length > 0) {
        warnings.push(
          `The record at line ${line} has ${numbers.length} of ${each} numbers: the file looks cut off there, and it is left out.`,
        );
        break;
      }
      return refuse(file, line, `${numbers.length} numbers behind the frequency`, `${each} for ${ports} port(s)`);
    }
    rows.push({ line, frequency, numbers });
  }
  if (rows.length === 0) return refuse(file, data[0]?.line ?? 1, 'no network data', 'at least one frequency');
  return { rows, noiseLines: 0 };
}

function tablesOf(
  rows: readonly NetworkRecord[],
  ports: number,
  options: Options,
  keywords: Keywords,
  file: string,
  warnings: string[],
): FrequencyTable[] {
  const full: readonly (readonly [string, FrequencyTable['kind']])[] =
    keywords.twoPortOrder === '21_12'
      ? [
          ['S11', 'reflection'],
          ['S21', 'gain'],
          ['S12', 'gain'],
          ['S22', 'reflection'],
        ]
      : [
          ['S11', 'reflection'],
          ['S12', 'gain'],
          ['S21', 'gain'],
          ['S22', 'reflection'],
        ];
  // half a matrix is that of a reciprocal network: S21 and S12 are one
  const half: typeof full = [
    ['S11', 'reflection'],
    ['S21', 'gain'],
    ['S22', 'reflection'],
  ];
  const names = ports === 1 ? full.slice(0, 1) : keywords.matrix === 'full' ? full : half;
  const frequencyHz = Float64Array.from(rows, ({ frequency }) =>
    Number((frequency * options.frequencyFactor).toPrecision(15)),
  );
  const referenceOhm = keywords.referenceOhm[0] ?? options.referenceOhm;
  if (new Set(keywords.referenceOhm).size > 1)
    warnings.push('The ports have different reference resistances; gains between them hold for those.');
  let zeros = 0;
  const tables = names.map(([name, kind], p): FrequencyTable => {
    const valueDb = Float64Array.from(rows, ({ numbers }) => {
      const db = decibels(numbers[2 * p]!, numbers[2 * p + 1]!, options.format);
      if (db >= WEAKEST_DB) return db;
      zeros++;
      return WEAKEST_DB;
    });
    return { name, kind, frequencyHz, valueDb, uncertaintyDb: null, referenceOhm, takenAt: null, note: `from ${file}` };
  });
  if (zeros > 0) warnings.push(`${zeros} parameter(s) are zero (no signal at all); they count as ${WEAKEST_DB} dB.`);
  const amplifies = tables.some(({ kind, valueDb }) => kind === 'reflection' && valueDb.some((db) => db > 0.5));
  if (amplifies)
    warnings.push('A reflection is larger than 1: check that the file is of a passive port, and its format.');
  return tables;
}

function decibels(a: number, b: number, format: Options['format']): number {
  if (format === 'DB') return a;
  const magnitude = format === 'MA' ? Math.abs(a) : Math.hypot(a, b);
  return magnitude === 0 ? -Infinity : 20 * Math.log10(magnitude);
}

function portsByName(file: string): number | null {
  const match = /\.s(\d{1,2})p$/i.exec(file);
  return match === null ? null : Number(match[1]);
}

/** Three numbers a line are one port, nine are two. */
function portsByData(data: readonly DataLine[]): number {
  return data[0]?.values.length === 3 ? 1 : 2;
}

function refuse(
  file: string,
  line: number,
  found: string,
  expected: string,
  wayOut = 'Correct that line, or export the network parameters again.',
): never {
  throw new InputError({ file, place: `line ${line}`, found, expected, wayOut });
}
