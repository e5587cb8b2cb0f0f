import type { Band } from '../model/band.ts';
import type { BuildState, Fix } from '../model/build-state.ts';
import type { CompareSettings } from '../model/compare-settings.ts';
import type { Source } from '../model/source.ts';
import type { GridColumn, StateGrid, StateTrack } from '../model/state-track.ts';
import type { ClearedEarlier } from '../model/track.ts';
import type { VerdictSettings } from '../model/verdict-settings.ts';
import { conversionDb } from '../units/conversions.ts';
import { compareSides } from './compare.ts';
import { decidedTriage } from './evidence/decided-explanations.ts';
import { allowedDb } from './tracking/band-allowance.ts';
import { SideMemory } from './tracking/side-memory.ts';
import { chainTracks, type ChainColumn, type ColumnComparison } from './verdict/chain-tracks.ts';
import { fixEffect } from './verdict/fix-effect.ts';
import { readingOf, type JudgedCapture, type Reading } from './verdict/judged-capture.ts';
import { likeSets, unlikeWhy, type LikeSet } from './verdict/like-captures.ts';
import { keyOf, type GrowingTrack } from './verdict/track-chain.ts';

export interface FollowInput {
  /** Captures to follow lines through; those not alike with most of them are left out, and said to be. */
  readonly captures: readonly JudgedCapture[];
  /** All states of the register. */
  readonly states: readonly BuildState[];
  readonly fixes: readonly Fix[];
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  readonly compareSettings: CompareSettings;
  readonly settings: VerdictSettings;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/**
 * Follows every line of the build through all its states at one measuring point. Pure: the same input gives the same result.
 *
 * 1. Only captures that are alike are taken; several of one state count as its repeats.
 * 2. States follow the tree: each is held against the nearest earlier state of its branch that was measured.
 * 3. The comparisons are chained into tracks (chainTracks); each step's effect is said in a sentence with numbers.
 */
export function followStates(input: FollowInput): StateGrid {
  const progress = input.onProgress ?? (() => {});
  const readings = input.captures.map((capture) =>
    readingOf({ ...capture, triaged: decidedTriage(capture.triaged, capture.decisions ?? [], input.sources) }),
  );
  const [like] = likeSets(readings, input.settings);
  const measured = like === undefined ? [] : columnsOf(like, input.states);
  const unit = measured.length === 0 ? 'unknown' : (unitOf(measured[0]!.readings) ?? 'unknown');
  /** What each step did; a comparison itself is dropped once it is chained: a thousand of them would fill the memory. */
  const sentences = new Map<string, string>();
  const warnings = new Set<string>();
  const memory = new SideMemory(input.sources, input.compareSettings);
  let steps = 0;
  const compare = (
    earlier: number,
    later: number,
    clearedEarlier: readonly ClearedEarlier[],
    only?: ReadonlySet<number>,
  ): ColumnComparison => {
    progress(Math.min(0.95, ++steps / (measured.length + 1)), nameOf(measured[later]!.stateId, input.states));
    const comparison = compareSides({
      before: measured[earlier]!.readings.map(({ capture }) => capture.triaged),
      after: measured[later]!.readings.map(({ capture }) => capture.triaged),
      sources: input.sources,
      settings: input.compareSettings,
      bands: input.bands,
      clearedEarlier,
      memory,
      ...(only === undefined ? {} : { onlyBefore: (line) => only.has(keyOf(line)) }),
    });
    for (const warning of comparison.warnings) warnings.add(warning);
    if (only === undefined) {
      const meant = meantFor(measured[earlier]!.stateId, measured[later]!.stateId, input);
      sentences.set(`${earlier}/${later}`, fixEffect(comparison, meant));
    }
    return { comparison, offsetDb: comparison.levelsComparable ? offsetDb(comparison.unit, unit) : null };
  };
  const tracks = chainTracks({ columns: measured, compare, alone: (column) => aloneLines(measured[column]!.readings) });

  const columns = input.states.flatMap((state): GridColumn[] => columnOf(state));
  progress(1, 'done');
  return {
    point: like === undefined ? null : (like.readings[0]!.capture.point?.name ?? null),
    mode: like?.mode ?? null,
    temperature: like?.temperature ?? null,
    unit,
    columns,
    tracks: finishedTracks(tracks, columns, measured, input, unit),
    warnings: [...warnings],
  };

  function columnOf(state: BuildState): GridColumn[] {
    const ofState = readings.filter(({ capture }) => capture.stateId === state.id);
    const at = measured.findIndex(({ stateId }) => stateId === state.id);
    const own = at < 0 ? null : measured[at]!;
    const leftOut = ofState
      .filter((reading) => own === null || !own.readings.includes(reading))
      .map((reading) => ({
        captureId: reading.capture.captureId,
        why: like === undefined ? 'it does not show the item' : whyLeftOut(like, reading, input.settings),
      }));
    const parent = own === null || own.parent < 0 ? null : measured[own.parent]!;
    return [
      {
        stateId: state.id,
        againstStateId: parent?.stateId ?? null,
        captureIds: own === null ? [] : own.readings.map(({ capture }) => capture.captureId),
        leftOut,
        sentence: parent === null ? '' : (sentences.get(`${own!.parent}/${at}`) ?? ''),
      },
    ];
  }
}

interface MeasuredColumn extends ChainColumn {
  readonly readings: readonly Reading[];
}

/** States with captures of the set, parents before children; a state without is bridged. */
function columnsOf({ readings }: LikeSet, states: readonly BuildState[]): MeasuredColumn[] {
  const ordered = parentsFirst(states).filter(({ id }) => readings.some(({ capture }) => capture.stateId === id));
  const byId = new Map(states.map((state) => [state.id, state]));
  return ordered.map((state) => {
    let parent = -1;
    const visited = new Set<number>();
    for (let at = state.parentId; at !== null && parent < 0 && !visited.has(at); at = byId.get(at)?.parentId ?? null) {
      visited.add(at);
      parent = ordered.findIndex(({ id }) => id === at);
    }
    return { stateId: state.id, parent, readings: readings.filter(({ capture }) => capture.stateId === state.id) };
  });
}

function parentsFirst(states: readonly BuildState[]): BuildState[] {
  const done: BuildState[] = [];
  const rest = [...states];
  while (rest.length > 0) {
    const next = rest.findIndex(
      ({ parentId }) =>
        parentId === null || !states.some(({ id }) => id === parentId) || done.some(({ id }) => id === parentId),
    );
    // a circle of parents is broken where it is met
    done.push(...rest.splice(Math.max(0, next), 1));
  }
  return done;
}

function aloneLines(readings: readonly Reading[]) {
  const [first] = readings;
  if (first === undefined) return [];
  const { spurs, explanations } = first.capture.triaged.triage;
  return spurs.map((spur, i) => {
    const side = { ...spur, fileIndex: 0, seenIn: 1 };
    return { key: keyOf(side), spur: side, explanation: explanations[i]! };
  });
}

function unitOf(readings: readonly Reading[]): string | null {
  const { unit } = readings[0]!;
  if (unit === null) return null;
  return unit.scale === 'decibel' ? unit.name : `dB${unit.name.replace('²', '')}`;
}

function offsetDb(from: string, to: string): number | null {
  if (from === to) return 0;
  return conversionDb(
    { name: from, scale: 'decibel', perHz: from.endsWith('/Hz') },
    { name: to, scale: 'decibel', perHz: to.endsWith('/Hz') },
  );
}

function whyLeftOut({ readings }: LikeSet, reading: Reading, settings: VerdictSettings): string {
  if ((reading.capture.triaged.condition?.role ?? 'item') !== 'item') return 'it does not show the item at work';
  return unlikeWhy(readings[0]!, reading, settings) ?? 'another temperature';
}

/** Designators that the fixes between two states were meant for; a fix taken out again between them counts too. */
function meantFor(fromStateId: number, toStateId: number, { states, fixes }: FollowInput): readonly string[] {
  const byId = new Map(states.map((state) => [state.id, state]));
  const path = new Set<number>();
  for (let at: number | null = toStateId; at !== null && !path.has(at); at = byId.get(at)?.parentId ?? null) {
    path.add(at);
    if (at === fromStateId) break;
  }
  const [since, until] = [Date.parse(byId.get(fromStateId)!.at), Date.parse(byId.get(toStateId)!.at)];
  const between = fixes.filter((fix) => {
    const undone = fix.undoneAt === null ? NaN : Date.parse(fix.undoneAt);
    return (path.has(fix.fromStateId) && path.has(fix.toStateId)) || (since < undone && undone <= until);
  });
  return [...new Set(between.flatMap(({ sources }) => sources))];
}

function nameOf(stateId: number, states: readonly BuildState[]): string {
  return states.find(({ id }) => id === stateId)?.name ?? '';
}

function finishedTracks(
  tracks: readonly GrowingTrack[],
  columns: readonly GridColumn[],
  measured: readonly MeasuredColumn[],
  { bands }: FollowInput,
  unit: string,
): StateTrack[] {
  const columnOf = columns.map(({ stateId }) => measured.findIndex((one) => one.stateId === stateId));
  // a level by itself bears its chain's doubt; the changes beside it know where that cancels
  const chainDb = (column: number): number =>
    measured[column]!.readings.reduce((most, { capture }) => Math.max(most, capture.triaged.chain?.sigmaDb ?? 0), 0);
  return tracks
    .map((track) => ({ track, first: track.seen.get(Math.min(...track.seen.keys()))! }))
    .sort((a, b) => a.first.spur.frequencyHz - b.first.spur.frequencyHz)
    .map(({ track, first }, i): StateTrack => {
      const latest = track.seen.get(Math.max(...track.seen.keys()))!;
      const { cause, candidates } =
        track.source === null ? latest.explanation : { ...latest.explanation, cause: 'source' as const };
      const at = first.spur.frequencyHz;
      return {
        number: i + 1,
        source: track.source,
        harmonic: track.harmonic,
        cause,
        candidates: candidates.map(({ source, harmonic }) => ({ source, harmonic })),
        frequencyHz: at,
        band: bands.find(({ lowHz, highHz }) => lowHz <= at && at <= highHz)?.name ?? null,
        cells: columnOf.map((column) => {
          const cell = column < 0 ? undefined : track.cells.get(column);
          if (cell === undefined) return null;
          const line = track.seen.get(column);
          if (line === undefined || cell.levelDb === null) return cell;
          const levelSigmaDb = cell.levelSigmaDb === null ? null : Math.hypot(cell.levelSigmaDb, chainDb(column));
          const floorDb = cell.levelDb - line.spur.levelDb + line.spur.floorDb;
          const allowed = allowedDb(bands, line.spur.frequencyHz, floorDb, unit);
          return { ...cell, levelSigmaDb, overAllowedDb: allowed === null ? null : cell.levelDb - allowed };
        }),
      };
    });
}
