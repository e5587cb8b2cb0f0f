import { randomUUID } from 'node:crypto';
import { existsSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Condition } from '../../model/condition.ts';
import type { Capture } from '../../model/capture.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../model/triage-settings.ts';
import type { Triage } from '../../model/triage.ts';
import { parseBandTable } from '../../readers/tables/band-table.ts';
import { parseConditionTable } from '../../readers/tables/condition-table.ts';
import { readLimitTable } from '../../readers/tables/limit-table.ts';
import { strictRows } from '../../readers/tables/table.ts';
import { parseSourceTable } from '../../readers/tables/source-table.ts';
import { createRegister, type Register } from '../../register/register.ts';
import type { ApiParts } from '../api-parts.ts';
import { REGISTER_EXTENSION } from '../folder-list.ts';
import { triageKey } from '../triage-key.ts';
import { chooseTrace } from '../steps/choose-trace.ts';
import { importBands } from '../steps/register-tables.ts';
import { demoFiles, type DemoBuild, type DemoFiles } from './demo-files.ts';

/** Progress of the demonstration's making is told under this job. */
const JOB = 'demo';

/**
 * Makes a fresh copy of the invented demonstration register in the documents folder and gives its path.
 *
 * Everything goes through what a user's own files go through: table parsers, reader, engine. Made aside and moved into place,
 * so that a half-made demonstration is never seen.
 */
export async function makeDemo(parts: ApiParts): Promise<string> {
  const { session } = parts;
  const files = demoFiles();
  // another window, or another start of the program, may be making one at the same time
  const aside = join(session.settings.dataFolder, `demo-in-the-making-${randomUUID()}${REGISTER_EXTENSION}`);

  const { now } = session.settings;
  const register = createRegister(aside, { title: files.build.title, isInvented: true }, { now, who: 'demonstration' });
  try {
    await fill(register, files, parts);
    register.close();
  } catch (error) {
    register.close();
    for (const rest of ['', '-wal', '-shm']) rmSync(aside + rest, { force: true });
    throw error;
  }
  const path = freeName(session.settings.documentsFolder, 'Wren demonstration (invented)');
  renameSync(aside, path);
  return path;
}

interface Taken {
  readonly capture: Capture;
  readonly bytes: Uint8Array;
  readonly condition: Condition;
  readonly traceIndex: number;
  readonly triage: Triage;
}

async function fill(register: Register, { folder, build }: DemoFiles, parts: ApiParts): Promise<void> {
  const table = (name: string) => readFileSync(join(folder, name), 'utf8');
  const sources = parseSourceTable(table('sources.csv'), 'sources.csv');
  const conditions = parseConditionTable(table('conditions.csv'), 'conditions.csv');
  const { jobs, session } = parts;

  let done = 0;
  const tell = () =>
    session.settings.emit('progress', { jobId: JOB, fraction: done / conditions.length, step: 'demonstration' });
  tell();
  const taken = await Promise.all(
    conditions.map(async (condition): Promise<Taken> => {
      const bytes = readFileSync(join(folder, 'captures', condition.file));
      const capture = await jobs.run('read', { file: condition.file, bytes }, { jobId: JOB });
      const { trace, traceIndex } = chooseTrace(capture, null, condition);
      const settings = DEFAULT_TRIAGE_SETTINGS;
      const triage = await jobs.run('triage', { trace, sources, condition, settings }, { jobId: JOB });
      done++;
      tell();
      return { capture, bytes, condition, traceIndex, triage };
    }),
  );

  register.step(() => {
    register.sources.import(sources, true);
    if (existsSync(join(folder, 'bands.csv'))) importBands(register, parseBandTable(table('bands.csv'), 'bands.csv'));
    const places = fillBuild(register, build);
    if (existsSync(join(folder, 'limits.csv')))
      for (const line of strictRows(readLimitTable(table('limits.csv'), 'limits.csv'), 'limits.csv'))
        register.limits.put(null, line);
    fillRequirements(register, build, places.states);
    for (const { capture, bytes, condition, traceIndex, triage } of taken) {
      const { id } = register.captures.add(capture, bytes, condition, traceIndex).capture;
      const stateId = places.states.get(condition.state ?? '') ?? null;
      const pointId = places.points.get(condition.point ?? '') ?? null;
      register.captures.assign([id], { stateId, pointId });
      const { sha256 } = capture;
      const inputs = { sha256, traceIndex, condition, sources, settings: DEFAULT_TRIAGE_SETTINGS };
      register.results.put(id, traceIndex, triageKey(inputs, parts.about.version), triage);
    }
  });
  // undo is for what the user does with the demonstration, not for how it came about
  register.settle();
}

/** States, fixes, points and events; gives the numbers of states and points by name. */
function fillBuild(register: Register, build: DemoBuild) {
  const points = new Map(build.points.map((point) => [point.name, register.points.put(null, point).id]));
  const states = new Map<string, number>();
  for (const { parent, ...state } of build.states) {
    const parentId = parent === null ? null : (states.get(parent) ?? null);
    states.set(state.name, register.states.put(null, { ...state, parentId }).id);
  }
  const idOf = (name: string): number => {
    const id = states.get(name);
    if (id === undefined) throw new Error(`the demonstration names a state ${name} that it does not describe`);
    return id;
  };
  for (const { from, to, ...fix } of build.fixes) {
    register.fixes.put(null, { ...fix, fromStateId: idOf(from), toStateId: idOf(to) });
  }
  for (const { after, ...event } of build.events) {
    register.events.put(null, { ...event, afterStateId: after === null ? null : idOf(after) });
  }
  return { points, states };
}

/** What the build must keep, and what was accepted in writing. */
function fillRequirements(register: Register, build: DemoBuild, states: ReadonlyMap<string, number>): void {
  const idOf = (name: string | null): number | null => (name === null ? null : (states.get(name) ?? null));
  for (const requirement of build.requirements) register.requirements.put(null, requirement);
  for (const { from, until, ...disposition } of build.dispositions)
    register.dispositions.put(null, { ...disposition, fromStateId: idOf(from), untilStateId: idOf(until) });
}

/** A name in the folder that nothing has yet: `Wren demonstration (invented).spurledger`, `… 2.spurledger` … */
function freeName(folder: string, stem: string): string {
  for (let n = 1; ; n++) {
    const path = join(folder, `${stem}${n === 1 ? '' : ` ${n}`}${REGISTER_EXTENSION}`);
    if (!existsSync(path)) return path;
  }
}
