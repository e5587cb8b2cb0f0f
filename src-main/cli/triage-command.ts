import { analyseTrace } from '../engine/analyse.ts';
import type { ByteSource } from '../model/byte-source.ts';
import { InputError } from '../model/input-problem.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../model/triage-settings.ts';
import { chooseTrace } from '../api/steps/choose-trace.ts';
import { LARGEST_KEPT_BYTES, neededBeside } from '../api/steps/needed-beside.ts';
import { spurBands } from '../api/steps/spur-bands.ts';
import { triageDocument, type TriagedCapture } from '../report/triage-document.ts';
import { triageTable } from '../report/triage-table.ts';
import type { Call } from './call.ts';
import { Collected } from './collected.ts';
import { conditionFor, unusedConditions } from './match-conditions.ts';
import { openNamed } from './read-command.ts';
import { terminalText } from '../report/terminal-text.ts';
import { readTables, type TablesInput } from './tables-input.ts';
import { waitingFor, weighAlone, weighTogether } from './weigh-captures.ts';
import type { ExitStatus, Terminal } from './terminal.ts';

/** `triage CAPTURE…`: floor, spurs and combs of every capture, and whose they are. */
export async function triageCommand(
  call: Extract<Call, { command: 'triage' }>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const collected = new Collected(terminal);
  const run = await openRun(call, call.captures, terminal, collected);
  const captures: TriagedCapture[] = [];
  // A capture that no other can say anything of is told at once; the rest waits until all are there.
  const waits = waitingFor(call.captures, run);
  for (const file of call.captures) {
    const triaged = triageNamed(file, run);
    if (triaged === null) continue;
    if (call.json || waits) captures.push(triaged);
    else terminal.out(`${triageTable(weighAlone(triaged))}\n`);
  }
  const weighed = weighTogether(captures, run);
  run.keeper?.close();
  collected.warn(
    'references',
    weighed.captures.flatMap(({ weighed: said }) => said?.warnings ?? []),
  );
  if (call.json) {
    const document = triageDocument(weighed.captures, collected.problems, weighed.drifts);
    terminal.out(`${JSON.stringify(document, null, 2)}\n`);
  } else {
    for (const triaged of weighed.captures) terminal.out(`${triageTable(triaged)}\n`);
    for (const { sentence } of weighed.drifts) terminal.out(`${terminalText(sentence)}\n`);
  }
  return collected.status;
}

/** What all captures of one call share. */
export type Run = Awaited<ReturnType<typeof openRun>>;

/** Reads the tables, opens the register where one is named, and warns of conditions that mean none of the files. */
export async function openRun(
  call: Extract<Call, { command: 'triage' | 'compare' }>,
  files: readonly string[],
  terminal: Terminal,
  collected: Collected,
) {
  const tables = readTables(call.tables, terminal.folder, collected);
  const unused = unusedConditions(tables.conditions ?? [], files).map(({ file }) => file);
  if (unused.length > 0) {
    collected.warn(call.tables.conditions ?? '', [
      `no capture of this call is meant by the rows of ${unused.join(', ')}`,
    ]);
  }
  // Loaded only where a register is named: the database library is a good part of a short call.
  const { register } = call.tables;
  const keeper =
    register === null
      ? null
      : (await import('./register-keeper.ts')).openKeeper(register, tables, terminal.folder, collected);
  const sources = tables.sources ?? keeper?.sources ?? [];
  const bands = tables.bands ?? keeper?.bands ?? [];
  return { call, tables, keeper, terminal, collected, sources, bands };
}

/** One capture from file to result, kept where a register is open; null where it was refused (the reason is collected). */
export function triageNamed(file: string, run: Run): TriagedCapture | null {
  const { call, tables, terminal, collected, sources } = run;
  const done = collected.attempt(file, () => {
    const step = stepTeller(terminal, file);
    step('reading');
    const { capture, bytes, beside } = openNamed(file, terminal.folder, {
      ...call.open,
      onProgress: (_, name) => step(name),
    });
    const condition = conditionFor(tables.conditions ?? [], file);
    const chosen = chooseTrace(capture, call.trace === null ? null : call.trace - 1, condition);
    const triage = analyseTrace({
      trace: chosen.trace,
      sources,
      condition,
      bands: run.bands,
      settings: DEFAULT_TRIAGE_SETTINGS,
      onProgress: (_, name) => step(name),
    });
    step(null);
    const warnings = [...chosen.warnings, ...refusedTables(tables)];
    const bands = run.bands.length === 0 ? [] : spurBands(triage.spurs, run.bands, chosen.trace.unit);
    const triaged: TriagedCapture = { ...chosen, capture, condition, sources, triage, bands, warnings };
    collected.warn(file, [...capture.warnings, ...warnings, ...triage.warnings]);
    return { triaged, bytes, beside };
  });
  if (done === null) return null;
  // A result that cannot be kept (disk full, register locked) is still a result.
  if (run.keeper !== null) {
    collected.attempt(call.tables.register ?? '', () =>
      run.keeper?.keep(done.triaged, wholeBytes(done.bytes, file), neededBeside(done.triaged.capture, done.beside)),
    );
  }
  return done.triaged;
}

/** @throws InputError where there are too many to be kept */
function wholeBytes(bytes: Uint8Array | ByteSource, file: string): Uint8Array {
  if (bytes instanceof Uint8Array) return bytes;
  if (bytes.length <= LARGEST_KEPT_BYTES) return bytes.read(0, bytes.length).slice();
  throw new InputError({
    file,
    place: 'whole file',
    found: `${bytes.length} bytes`,
    expected: `at most ${LARGEST_KEPT_BYTES} to be kept in a register`,
    wayOut: 'The result above holds; keep a shorter recording of the same, and this file beside the register.',
  });
}

function refusedTables({ refused }: TablesInput): string[] {
  return refused.map((file) => `${file} was refused, so this result is what it would be without that table.`);
}

/** Shows the step under way on one line that the next step overwrites; null wipes it. Silent where nobody watches. */
function stepTeller(terminal: Terminal, file: string): (step: string | null) => void {
  if (!terminal.showsProgress) return () => {};
  return (step) => terminal.err(step === null ? '\r\u001b[K' : `\r\u001b[K${file}: ${step}`);
}
