import type { ClearedEarlier, Comparison, Track } from '../../model/track.ts';
import {
  afterLines,
  beforeLines,
  cellOf,
  firstCell,
  identityOf,
  keyOf,
  type GrowingTrack,
  type SeenLine,
} from './track-chain.ts';

/** The states of a grid as columns, parents before children. */
export interface ChainColumn {
  readonly stateId: number;
  /** Column of the nearest earlier state on its branch that was measured; −1 for a first one. */
  readonly parent: number;
}

/** A comparison of two columns with how its levels stand to the grid's unit. */
export interface ColumnComparison {
  readonly comparison: Comparison;
  readonly offsetDb: number | null;
}

export interface ChainInput {
  readonly columns: readonly ChainColumn[];
  /** Compares two columns; asked for each step of the tree, and for earlier columns in which lines were seen last, then only of these lines' keys. */
  readonly compare: (
    earlier: number,
    later: number,
    cleared: readonly ClearedEarlier[],
    only?: ReadonlySet<number>,
  ) => ColumnComparison;
  /** Lines of a column alone; only asked for columns without parent and without child. */
  readonly alone: (column: number) => readonly SeenLine[];
}

/**
 * Chains the comparisons of neighbouring states into tracks through the whole tree.
 *
 * 1. Lines of a first state begin tracks. At each later state the comparison with its parent continues every track seen there.
 * 2. A track not seen in the parent is held against the last earlier state that shows it, so that cleared lines keep their limit and
 *    lines that were only hidden are found again. Seen again after it was cleared on this branch, it is `back`.
 * 3. Lines that continue nothing begin a track; on another branch the same source and harmonic is the same row.
 *
 * Cost: one comparison a step, and one for each earlier state in which lines were seen last.
 */
export function chainTracks({ columns, compare, alone }: ChainInput): GrowingTrack[] {
  const tracks: GrowingTrack[] = [];
  const lineOf = columns.map((_, k) => branchTo(columns, k));
  columns.forEach(({ parent }, k) => {
    if (parent < 0) {
      const child = columns.findIndex((column) => column.parent === k);
      const first = child < 0 ? null : compare(k, child, []);
      const lines = first === null ? alone(k) : beforeLines(first.comparison);
      for (const line of lines) begin(line, k, firstCell(line, first?.offsetDb ?? 0));
      return;
    }
    const path = lineOf[k]!;
    const wasCleared = clearedOn(tracks, path);
    const step = compare(parent, k, [...wasCleared.values()]);
    const lines = afterLines(step.comparison);
    const taken = new Set<number>();
    // 1. what the parent shows
    follow(parent, k, step, lines, taken);
    // 2. what an earlier state shows and the parent does not
    const waiting = new Map<number, GrowingTrack[]>();
    for (const track of tracks) {
      if (track.cells.has(k)) continue;
      const last = path.findLast((column) => track.seen.has(column));
      if (last === undefined || last === parent) continue;
      waiting.set(last, [...(waiting.get(last) ?? []), track]);
    }
    for (const [earlier, pending] of [...waiting].sort((a, b) => b[0] - a[0]))
      follow(earlier, k, compare(earlier, k, [], keysAt(earlier, pending)), lines, taken, pending, wasCleared);
    // 3. what nothing continues
    for (const track of step.comparison.tracks) {
      if (track.beforeSpur !== null || track.afterSpur === null) continue;
      const line = lines[track.afterSpur]!;
      if (taken.has(line.key)) continue;
      const known = rowOfElsewhere(line, path) ?? (track.status === 'back' ? clearedRow(line, path) : null);
      const cell = cellOf(track, line, columns[parent]!.stateId, step.offsetDb);
      if (known === null) begin(line, k, cell);
      else show(known, line, k, cell);
    }
  });
  return tracks;

  function begin(
    line: SeenLine,
    k: number,
    cell: GrowingTrack['cells'] extends Map<number, infer C> ? C : never,
  ): void {
    tracks.push({ cells: new Map([[k, cell]]), seen: new Map([[k, line]]), ...identityOf(line) });
  }

  function show(track: GrowingTrack, line: SeenLine, k: number, cell: ReturnType<typeof cellOf>): void {
    track.cells.set(k, cell);
    track.seen.set(k, line);
    const identity = identityOf(line);
    if (track.source === null && identity.source !== null) Object.assign(track, identity);
  }

  function follow(
    earlier: number,
    k: number,
    { comparison, offsetDb }: ColumnComparison,
    lines: readonly SeenLine[],
    taken: Set<number>,
    only: readonly GrowingTrack[] | null = null,
    wasCleared: ReadonlyMap<GrowingTrack, ClearedEarlier> | null = null,
  ): void {
    const byKey = new Map<number, Track>();
    for (const track of comparison.tracks)
      if (track.beforeSpur !== null) byKey.set(keyOf(comparison.beforeSpurs[track.beforeSpur]!), track);
    const laterKeys = new Map(lines.map((line) => [line.key, line]));
    const against = columns[earlier]!.stateId;
    for (const track of only ?? tracks) {
      const last = track.seen.get(earlier);
      if (last === undefined || track.cells.has(k)) continue;
      const found = byKey.get(last.key);
      if (found === undefined) continue;
      const key = found.afterSpur === null ? null : keyOf(comparison.afterSpurs[found.afterSpur]!);
      const line = key === null ? null : (laterKeys.get(key) ?? null);
      if (line !== null && taken.has(line.key)) continue;
      if (line === null) {
        // what the comparison saw but the step's own list does not hold is not seen
        if (found.afterSpur === null) track.cells.set(k, cellOf(found, null, against, offsetDb));
        continue;
      }
      taken.add(line.key);
      const isBack = wasCleared?.has(track) === true;
      show(track, line, k, cellOf(found, line, against, offsetDb, isBack ? 'back' : found.status));
    }
  }

  /** A row of another branch with the same source and harmonic that this branch knows nothing of yet. */
  function rowOfElsewhere(line: SeenLine, path: readonly number[]): GrowingTrack | null {
    const { source, harmonic } = identityOf(line);
    if (source === null) return null;
    return (
      tracks.find(
        (track) =>
          track.source === source && track.harmonic === harmonic && !path.some((column) => track.seen.has(column)),
      ) ?? null
    );
  }

  /** The row of a cleared line that is seen again: by name, else the nearest in frequency. */
  function clearedRow(line: SeenLine, path: readonly number[]): GrowingTrack | null {
    const cleared = [...clearedOn(tracks, path)].filter(([track]) => !track.seen.has(path.at(-1)!));
    const { source, harmonic } = identityOf(line);
    const named = cleared.find(([track]) => source !== null && track.source === source && track.harmonic === harmonic);
    if (named !== undefined) return named[0];
    const nearest = cleared
      .map(([track, { frequencyHz }]) => ({ track, away: Math.abs(frequencyHz - line.spur.frequencyHz) }))
      .sort((a, b) => a.away - b.away)[0];
    return nearest !== undefined && nearest.away <= Math.max(line.spur.widthHz, 1e-4 * line.spur.frequencyHz)
      ? nearest.track
      : null;
  }
}

function keysAt(column: number, tracks: readonly GrowingTrack[]): Set<number> {
  return new Set(tracks.map(({ seen }) => seen.get(column)!.key));
}

/** Columns from the first state of a branch to this one, itself last. */
function branchTo(columns: readonly ChainColumn[], column: number): number[] {
  const path: number[] = [];
  for (let at = column; at >= 0 && !path.includes(at); at = columns[at]!.parent) path.unshift(at);
  return path;
}

/** Tracks whose last word on a branch is that they were cleared, with where they stood. */
function clearedOn(tracks: readonly GrowingTrack[], path: readonly number[]): Map<GrowingTrack, ClearedEarlier> {
  const found = new Map<GrowingTrack, ClearedEarlier>();
  for (const track of tracks) {
    let isCleared = false;
    // backwards to where it was seen last
    for (let p = path.length - 1; p >= 0; p--) {
      const line = track.seen.get(path[p]!);
      if (line === undefined) {
        if (track.cells.get(path[p]!)?.status === 'cleared') isCleared = true;
        continue;
      }
      if (isCleared) {
        const { frequencyHz } = line.spur;
        found.set(track, { source: track.source, harmonic: track.harmonic, frequencyHz });
      }
      break;
    }
  }
  return found;
}
