import { SOURCE_COLUMNS, sourceCells } from '../../model/source-columns.ts';
import { csvTable, type Cell } from '../csv.ts';
import type { PacketFacts } from './packet-facts.ts';
import { subjectText, scopeText } from './verdict-chapters.ts';

/** The packet's tables as CSV, by file name; for spreadsheets. Texts that look like formulas bear an apostrophe; JSON has them as they are. */
export function packetTables(facts: PacketFacts): ReadonlyMap<string, string> {
  const { contents, captures, comparisons, judgement, rechecks } = facts;
  const state = new Map(contents.states.map(({ id, name }) => [id, name]));
  const point = new Map(contents.points.map(({ id, name }) => [id, name]));
  const file = new Map(contents.captures.map(({ id, file }) => [id, file]));
  const tables = new Map<string, string>();
  const add = (name: string, heads: readonly string[], rows: readonly (readonly Cell[])[]): void =>
    void tables.set(`${name}.csv`, csvTable(heads, rows));

  add(
    'captures',
    [
      'capture',
      'file',
      'sha256',
      'state',
      'point',
      'role',
      'mode',
      'temperature_c',
      'unit',
      'points',
      'start_hz',
      'stop_hz',
      'spurs',
      'false_alarms_expected',
      'weakest_detectable_over_floor_db',
      'instrument',
      'calibrated_on',
    ],
    captures.map(({ capture, triage, unitName, columns }, i) => [
      i + 1,
      capture.file,
      capture.sha256,
      state.get(capture.stateId ?? 0) ?? null,
      point.get(capture.pointId ?? 0) ?? null,
      capture.condition.role,
      capture.condition.mode,
      capture.condition.temperatureC,
      unitName,
      capture.traces[capture.traceIndex]!.points,
      columns.lowHz,
      columns.highHz,
      triage.spurs.length,
      triage.floor.falseAlarmsExpected,
      triage.floor.weakestDetectableOverFloorDb,
      capture.condition.instrument ?? null,
      capture.condition.calibratedOn ?? null,
    ]),
  );
  add(
    'spurs',
    [
      'capture',
      'file',
      'frequency_hz',
      'frequency_sigma_hz',
      'level_db',
      'level_sigma_db',
      'unit',
      'floor_db',
      'over_floor_db',
      'width_hz',
      'shape',
      'cause',
      'source',
      'harmonic',
      'chance',
      'why',
      'level_sigma_of_chain_db',
    ],
    captures.flatMap(({ capture, triage, unitName, chainSigmaDb }, i) =>
      triage.spurs.map((spur, s): Cell[] => {
        const { cause, candidates, why } = triage.explanations[s]!;
        const [best] = candidates;
        return [
          i + 1,
          capture.file,
          spur.frequencyHz,
          spur.frequencySigmaHz,
          spur.levelDb,
          Math.hypot(spur.levelSigmaDb, chainSigmaDb?.[s] ?? 0),
          unitName,
          spur.floorDb,
          spur.overFloorDb,
          spur.widthHz,
          spur.shape,
          cause,
          best?.source ?? null,
          best?.harmonic ?? null,
          best?.chance ?? null,
          why,
          chainSigmaDb?.[s] ?? null,
        ];
      }),
    ),
  );
  add(
    'tracks',
    [
      'step',
      'status',
      'before_hz',
      'before_level_db',
      'after_hz',
      'after_level_db',
      'unit',
      'change_db',
      'change_sigma_db',
      'at_least_db',
      'upper_limit_db',
      'shift_hz',
      'exercised',
      'source',
      'harmonic',
      'why',
    ],
    comparisons.flatMap(({ asked, result }) =>
      result.tracks.map((track): Cell[] => {
        const before = track.beforeSpur === null ? undefined : result.beforeSpurs[track.beforeSpur];
        const after = track.afterSpur === null ? undefined : result.afterSpurs[track.afterSpur];
        return [
          asked.name,
          track.status,
          before?.frequencyHz ?? null,
          before?.levelDb ?? null,
          after?.frequencyHz ?? null,
          after?.levelDb ?? null,
          result.unit,
          track.changeDb,
          track.changeSigmaDb,
          track.atLeastDb,
          track.upperLimitDb,
          track.shiftHz,
          track.exercised,
          track.source,
          track.harmonic,
          track.why,
        ];
      }),
    ),
  );
  add(
    'verdicts',
    [
      'requirement',
      'band',
      'mode',
      'temperature_low_c',
      'temperature_high_c',
      'point',
      'ruling',
      'reason',
      'found',
      'found_low',
      'found_high',
      'allowed',
      'unit',
      'margin',
      'limit',
      'limit_confirmed',
      'captures',
      'why',
    ],
    (judgement?.verdicts ?? []).map((verdict) => [
      verdict.code,
      verdict.band,
      verdict.mode,
      verdict.temperature?.lowC ?? null,
      verdict.temperature?.highC ?? null,
      verdict.point,
      verdict.ruling,
      verdict.reason,
      verdict.found,
      verdict.foundLow,
      verdict.foundHigh,
      verdict.allowed,
      verdict.unit,
      verdict.margin,
      verdict.limit,
      verdict.isLimitConfirmed,
      verdict.captureIds.map((id) => file.get(id) ?? id).join(' '),
      verdict.why,
    ]),
  );
  add(
    'requirements',
    ['code', 'text', 'bands', 'demand', 'at_least', 'limit', 'modes', 'points'],
    contents.requirements.map(({ code, text, bands, demand, limit, modes, points }) => [
      code,
      text,
      bands.join('; '),
      demand.kind,
      demand.kind === 'clean-channels' ? `${demand.atLeast} ${demand.as}` : null,
      limit,
      modes.join('; '),
      points.join('; '),
    ]),
  );
  add(
    'coverage',
    ['mode', 'temperature_low_c', 'temperature_high_c', 'band', 'point', 'required', 'covered_share', 'captures'],
    (judgement?.coverage.cells ?? []).map((cell) => [
      cell.mode,
      cell.temperature?.lowC ?? null,
      cell.temperature?.highC ?? null,
      cell.band,
      cell.point,
      cell.isRequired,
      cell.coveredShare,
      cell.captureIds.map((id) => file.get(id) ?? id).join(' '),
    ]),
  );
  add(
    'dispositions',
    ['what', 'reason', 'approver', 'at', 'expires_on', 'scope', 'standing', 'why'],
    contents.dispositions.map((disposition) => {
      const standing = judgement?.dispositions.find(({ dispositionId }) => dispositionId === disposition.id);
      return [
        subjectText(disposition),
        disposition.reason,
        disposition.approver,
        disposition.at,
        disposition.expiresOn,
        scopeText(disposition),
        standing?.standing ?? null,
        standing?.why ?? null,
      ];
    }),
  );
  // what a source may still be set to is no evidence of the build
  const ofSources = SOURCE_COLUMNS.filter((column) => !column.startsWith('adjust_'));
  add(
    'sources',
    ['letter', ...ofSources],
    contents.sources.map(({ letter, source }) => [letter, ...sourceCells(source, ofSources)]),
  );
  add(
    'configuration',
    ['state', 'item', 'serial', 'revision', 'detail'],
    contents.states.flatMap(({ name, configuration }) =>
      configuration.map(({ item, serial, revision, detail }): Cell[] => [name, item, serial, revision, detail]),
    ),
  );
  add(
    'calibration',
    [
      'capture',
      'chain',
      'place',
      'table',
      'kind',
      'frequency_hz',
      'value_db',
      'uncertainty_db',
      'unit_from',
      'unit_to',
      'source',
      'date',
      'due_on',
    ],
    contents.captures.flatMap((capture) =>
      capture.tables.flatMap((table, place) =>
        table.frequencyHz.map((hz, i): Cell[] => [
          capture.file,
          capture.chain,
          place + 1,
          table.name,
          table.kind,
          hz,
          table.valueDb[i] ?? null,
          table.uncertaintyDb?.[i] ?? null,
          table.units?.from ?? null,
          table.units?.to ?? null,
          table.source,
          table.date,
          table.dueOn,
        ]),
      ),
    ),
  );
  add(
    'recheck',
    [
      'event',
      'verdict',
      'finding',
      'file',
      'frequency_hz',
      'source',
      'harmonic',
      'change_db',
      'change_sigma_db',
      'shift_hz',
      'shift_sigma_hz',
      'why',
    ],
    rechecks.flatMap(({ recheck, judgement: judged }) =>
      judged.lines.map((line): Cell[] => [
        contents.events.find(({ id }) => id === recheck.eventId)?.kind ?? null,
        judged.verdict,
        line.finding,
        file.get(line.baselineCaptureId) ?? null,
        line.frequencyHz,
        line.source,
        line.harmonic,
        line.changeDb,
        line.changeSigmaDb,
        line.shiftHz,
        line.shiftSigmaHz,
        line.why,
      ]),
    ),
  );
  add(
    'review',
    ['at', 'kind', 'subject', 'key', 'text', 'by', 'owner', 'due_on', 'closed_at', 'answer'],
    contents.notes.map((note) => [
      note.at,
      note.kind,
      note.subject.kind,
      note.subject.key,
      note.text,
      note.by.join('; '),
      note.owner,
      note.dueOn,
      note.closedAt,
      note.answer,
    ]),
  );
  return tables;
}
