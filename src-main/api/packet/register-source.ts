import type { Freeze } from '../../model/freeze.ts';
import { PACKET_SCHEMA, type PacketCapture, type PacketContents } from '../../model/packet.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../model/triage-settings.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../model/verdict-settings.ts';
import { fromLosslessJson } from '../../report/packet/lossless-json.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';
import { tablesOf } from '../steps/calibrated-trace.ts';
import { withoutId } from '../steps/register-tables.ts';
import { limitsOf } from '../steps/verdict-input.ts';
import { withRepeats } from './match-repeats.ts';
import { packetComparisons } from './packet-comparisons.ts';
import { packetScope } from './packet-scope.ts';
import type { PacketSource } from './packet-source.ts';

/** The register as it stands, for a draft or to be frozen: everything up to one state, or with null all of it. */
export function contentsNow(register: Register, stateId: number | null, engineVersion: string): PacketContents {
  const facts = register.facts();
  const { states, captures, leftOut } = packetScope(register, stateId);
  const stateIds = new Set(states.map(({ id }) => id));
  const captureIds = new Set(captures.map(({ id }) => id));
  const fixes = register.fixes.list().filter((fix) => stateIds.has(fix.fromStateId) && stateIds.has(fix.toStateId));
  const points = register.points.list();
  const requirements = register.requirements.list();
  return {
    schema: PACKET_SCHEMA,
    engineVersion,
    title: facts.title,
    isInvented: facts.isInvented,
    freeze: null,
    at: facts.keptAt,
    states,
    fixes,
    points,
    events: register.events.list().filter(({ afterStateId }) => afterStateId === null || stateIds.has(afterStateId)),
    bands: register.bands.list().map(withoutId),
    sources: register.sources.list().map(({ letter, source }) => ({ letter, source })),
    decisions: register.decisions.list().filter(({ captureId }) => captureIds.has(captureId)),
    captures: captures.map((capture) => packetCapture(register, capture)),
    comparisons: packetComparisons(states, captures, points, fixes),
    requirements,
    limits: limitsOf(register).filter(
      ({ name }, i, all) =>
        requirements.some(({ limit }) => limit === name) && all.findIndex((line) => line.name === name) === i,
    ),
    dispositions: register.dispositions.list(),
    verdictSettings: DEFAULT_VERDICT_SETTINGS,
    rechecks: register.rechecks
      .list()
      .filter(({ items }) => items.every((item) => captureIds.has(item.baselineCaptureId)))
      .map((recheck) => withRepeats(recheck, captures)),
    notes: register.reviewNotes.list(),
    leftOut,
  };
}

/** What was frozen, with how the freeze stands now. Damaged text is the register's own error. */
export function frozenContents(register: Register, freeze: Freeze): PacketContents {
  const contents = fromLosslessJson(register.freezes.contents(freeze.id)) as PacketContents;
  return { ...contents, freeze, at: freeze.at };
}

/** A packet of the register: of a frozen revision, or with null a draft of everything as it stands. */
export function registerSource(register: Register, freeze: Freeze | null, engineVersion: string): PacketSource {
  const contents = freeze === null ? contentsNow(register, null, engineVersion) : frozenContents(register, freeze);
  return {
    contents: { ...contents, engineVersion },
    trace: (id, index) => register.captures.trace(id, index),
    original: (id) => register.captures.bytes(id),
  };
}

function packetCapture(register: Register, { calibration, ...capture }: StoredCapture): PacketCapture {
  const traces = capture.traces.map(({ blankPoints: _blank, startHz: _start, stopHz: _stop, ...head }) => head);
  const { chainId = null, transferId = null } = calibration ?? {};
  return {
    ...capture,
    traces,
    settings: DEFAULT_TRIAGE_SETTINGS,
    chain: chainId === null ? null : (register.chains.get(chainId)?.name ?? null),
    tables: tablesOf(register, calibration),
    transferVersion: transferId === null ? null : (register.transfers.get(transferId)?.version ?? null),
  };
}
