import type { StateGrid, StateTrack, TrackCell } from '../../src-main/model/state-track.ts';
import type { TrackStatus } from '../../src-main/model/track.ts';
import { decimal, MINUS, PLUS_MINUS, signed, THIN_SPACE } from './format.ts';

export type GridOrder = 'source' | 'worst';
export interface GridFilter {
  readonly source: string | null;
  readonly band: string | null;
  readonly status: TrackStatus | null;
}

/** One line of the grid as it is drawn: the head of a group, or a track. */
export type GridRow =
  | {
      readonly kind: 'group';
      readonly key: string;
      readonly name: string;
      readonly source: string | null;
      readonly count: number;
    }
  | { readonly kind: 'track'; readonly key: string; readonly track: StateTrack };

/** Key of lines that no source owns, by what is said of them. */
const UNOWNED: Readonly<Record<string, string>> = {
  'unknown-comb': 'unknown comb',
  ambiguous: 'ambiguous',
  shared: 'shared',
  ambient: 'from outside',
  instrument: 'from the kit',
  beat: 'beats and sidebands',
  sideband: 'beats and sidebands',
};

function groupOf(track: StateTrack): string {
  return track.source ?? UNOWNED[track.cause] ?? 'nobody';
}

/** The latest cell of a track that says anything. */
export function latestCell(track: StateTrack): TrackCell | null {
  return track.cells.findLast((cell) => cell !== null) ?? null;
}

/** How bad a track is now: level over what is allowed; where nothing is allowed, its level; not seen: last of all. */
function badness(track: StateTrack): number {
  const cell = latestCell(track);
  if (cell === null || cell.levelDb === null) return -1e6;
  return cell.overAllowedDb ?? cell.levelDb - 1e3;
}

export function filteredTracks(grid: StateGrid, { source, band, status }: GridFilter): readonly StateTrack[] {
  return grid.tracks.filter(
    (track) =>
      (source === null || groupOf(track) === source) &&
      (band === null || track.band === band) &&
      (status === null || track.cells.some((cell) => cell?.status === status)),
  );
}

/** Names that the source filter offers, named sources first. */
export function gridGroups(grid: StateGrid): readonly string[] {
  const named = [...new Set(grid.tracks.flatMap(({ source }) => (source === null ? [] : [source])))].sort();
  const others = [...new Set(grid.tracks.filter(({ source }) => source === null).map(groupOf))].sort();
  return [...named, ...others];
}

/**
 * Rows in the order they stand: by source and frequency with a head over each group, or the worst first without heads. Rows keep
 * their order across states.
 */
export function gridRows(
  grid: StateGrid,
  filter: GridFilter,
  order: GridOrder,
  sourceOrder: (designator: string) => number,
): readonly GridRow[] {
  const tracks = filteredTracks(grid, filter);
  if (order === 'worst')
    return tracks
      .toSorted((a, b) => badness(b) - badness(a) || a.frequencyHz - b.frequencyHz)
      .map((track) => ({ kind: 'track', key: `t${track.number}`, track }));
  const groups = new Map<string, StateTrack[]>();
  for (const track of tracks) groups.set(groupOf(track), [...(groups.get(groupOf(track)) ?? []), track]);
  const rank = (name: string, members: readonly StateTrack[]) =>
    members[0]!.source === null ? 1e6 + name.charCodeAt(0) : sourceOrder(name);
  return [...groups]
    .toSorted((a, b) => rank(...a) - rank(...b))
    .flatMap(([name, members]): GridRow[] => [
      { kind: 'group', key: `g${name}`, name, source: members[0]!.source, count: members.length },
      ...members
        .toSorted((a, b) => a.frequencyHz - b.frequencyHz)
        .map((track): GridRow => ({ kind: 'track', key: `t${track.number}`, track })),
    ]);
}

/** The figure of a cell: a level, a limit that is proven (≤) or not (?), or three dots. Never a blank for “not measured”. */
export function cellFigure(cell: TrackCell): string {
  if (cell.levelDb !== null) return decimal(cell.levelDb, 1);
  if (cell.status === 'uncovered') return '\u00b7\u00b7\u00b7';
  if (cell.upperLimitDb === null) return cell.frequencyHz === null ? '?' : 'seen';
  const sign = cell.status === 'cleared' || cell.status === 'weaker' ? '\u2264' : '?';
  return `${sign}${THIN_SPACE}${decimal(cell.upperLimitDb, 1)}`;
}

/** The change before the figure: bold where it is beyond doubt. */
export function cellChange(cell: TrackCell): { readonly text: string; readonly isSure: boolean } | null {
  if (cell.changeDb === null) return null;
  const isSure = cell.status === 'weaker' || cell.status === 'stronger';
  return isSure || Math.abs(cell.changeDb) >= 0.5 ? { text: signed(cell.changeDb, 0), isSure } : null;
}

/** Everything a cell says, in words. */
export function cellWords(cell: TrackCell | null, stateName: string, unit: string): string {
  if (cell === null) return `${stateName}: not followed here`;
  const parts = [`${stateName}: ${cell.status ?? 'seen'}`];
  if (cell.levelDb !== null)
    parts.push(`${decimal(cell.levelDb, 1)} ${PLUS_MINUS} ${decimal(cell.levelSigmaDb ?? NaN, 1)} ${unit}`);
  if (cell.upperLimitDb !== null) parts.push(`not above ${decimal(cell.upperLimitDb, 1)} ${unit}`);
  if (cell.changeDb !== null)
    parts.push(`change ${signed(cell.changeDb, 1)} ${PLUS_MINUS} ${decimal(cell.changeSigmaDb ?? NaN, 1)} dB`);
  if (cell.atLeastDb !== null && cell.atLeastDb > 0)
    parts.push(`at least ${MINUS}${decimal(cell.atLeastDb, 1)} dB proven`);
  if (cell.overAllowedDb !== null && cell.overAllowedDb > 0)
    parts.push(`${decimal(cell.overAllowedDb, 1)} dB over what is allowed`);
  return parts.join(', ');
}

/** Thickness of a thread in px: the absolute level between the weakest and strongest of the grid, so a raised floor looks like no weaker spur. */
export function threadThickness(levelDb: number, lowDb: number, highDb: number): number {
  if (!(highDb > lowDb)) return 6;
  return 2 + 12 * Math.min(1, Math.max(0, (levelDb - lowDb) / (highDb - lowDb)));
}

export function levelRange(grid: StateGrid): { readonly lowDb: number; readonly highDb: number } {
  let [lowDb, highDb] = [Infinity, -Infinity];
  for (const { cells } of grid.tracks)
    for (const cell of cells) {
      if (cell === null || cell.levelDb === null) continue;
      lowDb = Math.min(lowDb, cell.levelDb);
      highDb = Math.max(highDb, cell.levelDb);
    }
  return { lowDb, highDb };
}

/** How a cell is drawn: computed once for each, since scrolling asks for thousands. */
export interface CellPaint {
  /** Class of the mark: `seen` thread, `starts` ball, `again` dots before it, `hides` hatch, `stops` bar. */
  readonly mark: string;
  readonly style: string;
  readonly figure: string;
  readonly change: string | null;
  readonly isSure: boolean;
  readonly isOver: boolean;
}

const painted = new WeakMap<TrackCell, CellPaint>();

/** @param tint number of the source's tint; null: ink, since no name means no hue */
export function paintOf(
  cell: TrackCell,
  tint: number | null,
  { lowDb, highDb }: { readonly lowDb: number; readonly highDb: number },
): CellPaint {
  const known = painted.get(cell);
  if (known !== undefined) return known;
  const change = cellChange(cell);
  const starts = cell.status === 'new' ? ' starts' : cell.status === 'back' ? ' starts again' : '';
  const isSeen = cell.levelDb !== null;
  const paint: CellPaint = {
    mark: isSeen
      ? `seen${starts}`
      : cell.status === 'hidden'
        ? 'hides'
        : cell.status === 'cleared' || cell.status === 'weaker'
          ? 'stops'
          : '',
    style: isSeen
      ? `--t:${threadThickness(cell.levelDb, lowDb, highDb).toFixed(1)}px;--c:${tint === null ? 'var(--ink-3)' : `var(--tint-${tint})`}`
      : '',
    figure: cellFigure(cell),
    change: change?.text ?? null,
    isSure: change?.isSure ?? false,
    isOver: (cell.overAllowedDb ?? 0) > 0,
  };
  painted.set(cell, paint);
  return paint;
}
