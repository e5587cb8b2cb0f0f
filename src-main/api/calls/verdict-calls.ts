import { limitColumn } from '../../engine/verdict/limit-at.ts';
import { BUILT_IN_LIMITS } from '../../engine/verdict/published/built-in-limits.ts';
import type { Requirement } from '../../model/requirement.ts';
import { readLimitTable, writeLimitTable } from '../../readers/tables/limit-table.ts';
import { parseRequirementTable, writeRequirementTable } from '../../readers/tables/requirement-table.ts';
import { strictRows } from '../../readers/tables/table.ts';
import { parseBandTable, writeBandTable } from '../../readers/tables/band-table.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import type { LimitEntry, VerdictCalls } from '../contract/verdict-calls.ts';
import { gridChoices } from '../steps/grid-choices.ts';
import { judgedCaptures } from '../steps/judged-captures.ts';
import { mustBeThere } from '../steps/must-be-there.ts';
import { withoutId } from '../steps/register-tables.ts';
import { tableFile } from '../steps/table-file.ts';
import { followInput, judgeInput, limitsOf } from '../steps/verdict-input.ts';

/** Bands, limits, requirements and acceptances as the register keeps them; lines through all states; the verdict on one state. */
export function verdictCalls(parts: ApiParts): VerdictCalls {
  const { session, jobs } = parts;
  const register = () => session.register;
  const change = <T>(subject: string, act: () => T): Promise<T> => {
    const result = act();
    session.changed([subject]);
    return Promise.resolve(result);
  };
  const progressOf = (jobId: string, from: number, to: number) => (fraction: number, step: string) =>
    session.settings.emit('progress', { jobId, fraction: from + (to - from) * fraction, step });
  const bands = () => register().bands.list().map(withoutId);
  const limits = (): readonly LimitEntry[] => [
    ...BUILT_IN_LIMITS.map((line) => ({ id: null, line })),
    ...register()
      .limits.list()
      .map(({ id, ...line }) => ({ id, line })),
  ];

  const mustNameWhatIsThere = ({ code, bands: named, points, limit }: Omit<Requirement, 'id'>): void => {
    const missing = (what: string, names: readonly string[], there: readonly { name: string }[]): void => {
      const unknown = names.find((name) => !there.some((one) => one.name === name));
      if (unknown !== undefined) throw new Refused(`${code}: there is no ${what} “${unknown}” in this register.`);
    };
    missing('band', named, bands());
    missing('measuring point', points, register().points.list());
    missing('limit line', limit === null ? [] : [limit], limitsOf(register()));
  };

  return {
    gridChoices: () => Promise.resolve(gridChoices(register())),
    async gridRun({ captureIds, jobId }) {
      const open = register();
      const captures = captureIds.map((id) => open.captures.get(id));
      const judged = await judgedCaptures(parts, captures, jobId, progressOf(jobId, 0, 0.6));
      const grid = await jobs.run('follow', followInput(open, judged), {
        jobId,
        onProgress: progressOf(jobId, 0.6, 1),
      });
      session.changed(['triage']);
      return grid;
    },

    bandPut({ band, replaces }) {
      const known = bands().map((one) => (one.name === replaces ? band : one));
      if (replaces !== null && !bands().some(({ name }) => name === replaces))
        throw new Refused(`There is no band ${replaces} in this register; it may have been removed in another window.`);
      // the table's own checks hold here too: ends, overlaps, channels, unit
      const checked = parseBandTable(writeBandTable(replaces === null ? [...known, band] : known), 'bands');
      return change('band', () => {
        const kept = register().bands;
        const id = kept.list().find(({ name }) => name === replaces)?.id ?? null;
        kept.put(
          id,
          checked.find(({ name }) => name === band.name)!,
        );
        return bands();
      });
    },
    bandExport: () => Promise.resolve(tableFile(register(), 'bands', writeBandTable(bands()))),
    bandRemove({ name }) {
      const found = register()
        .bands.list()
        .find((band) => band.name === name);
      if (found === undefined) throw new Refused(`There is no band ${name} in this register.`);
      const resting = register()
        .requirements.list()
        .filter((requirement) => requirement.bands.includes(name));
      if (resting.length > 0)
        throw new Refused(`${resting.map(({ code }) => code).join(', ')} rest on ${name}: change them first.`);
      return change('band', () => {
        register().bands.remove(found.id);
        return bands();
      });
    },

    limitList: () => Promise.resolve(limits()),
    limitImport({ file, text }) {
      const lines = strictRows(readLimitTable(text, file), file);
      const builtIn = lines.find(({ name }) => BUILT_IN_LIMITS.some((one) => one.name === name));
      if (builtIn !== undefined)
        throw new Refused(`“${builtIn.name}” is the name of a limit that comes with the program: give yours another.`);
      return change('limit_line', () => {
        const kept = register().limits;
        register().step(() => {
          for (const line of lines) kept.put(kept.list().find(({ name }) => name === line.name)?.id ?? null, line);
        });
        return limits();
      });
    },
    limitExport() {
      const own = register().limits.list();
      return Promise.resolve(tableFile(register(), 'limits', writeLimitTable(own)));
    },
    limitAt({ name, frequencyHz }) {
      const line = limitsOf(register()).find((one) => one.name === name);
      if (line === undefined) throw new Refused(`There is no limit line “${name}”.`);
      return Promise.resolve(limitColumn(line, frequencyHz));
    },
    limitRemove: ({ id }) => change('limit_line', () => register().limits.remove(id)),

    requirementList: () => Promise.resolve(register().requirements.list()),
    requirementPut({ id, ...requirement }) {
      const { requirements } = register();
      mustBeThere(requirements, id, 'requirement');
      mustNameWhatIsThere(requirement);
      return change('requirement', () => requirements.put(id, requirement));
    },
    requirementImport({ file, text }) {
      const given = parseRequirementTable(text, file);
      given.forEach(mustNameWhatIsThere);
      return change('requirement', () => {
        const { requirements } = register();
        const known = new Map(requirements.list().map(({ code, id }) => [code, id]));
        register().step(() => {
          for (const one of given) requirements.put(known.get(one.code) ?? null, one);
        });
        return requirements.list();
      });
    },
    requirementExport: () =>
      Promise.resolve(tableFile(register(), 'requirements', writeRequirementTable(register().requirements.list()))),
    requirementRemove: ({ id }) => change('requirement', () => register().requirements.remove(id)),

    dispositionList: () => Promise.resolve(register().dispositions.list()),
    dispositionPut({ id, ...disposition }) {
      const { dispositions } = register();
      mustBeThere(dispositions, id, 'acceptance');
      const at = session.settings.now().toISOString();
      return change('disposition', () => dispositions.put(id, { ...disposition, at }));
    },
    dispositionPutMany({ dispositions }) {
      const open = register();
      const at = session.settings.now().toISOString();
      return change('disposition', () =>
        open.step(() => dispositions.map((one) => open.dispositions.put(null, { ...one, at }))),
      );
    },
    dispositionRemove: ({ id }) => change('disposition', () => register().dispositions.remove(id)),

    async judgeRun({ stateId, jobId }) {
      const open = register();
      mustBeThere(open.states, stateId, 'state');
      const captures = open.captures.list().filter((capture) => capture.stateId !== null);
      const judged = await judgedCaptures(parts, captures, jobId, progressOf(jobId, 0, 0.7));
      const today = session.settings.now().toISOString().slice(0, 10);
      return jobs.run('judge', judgeInput(open, stateId, judged, today), {
        jobId,
        onProgress: progressOf(jobId, 0.7, 1),
      });
    },
  };
}
