import type { NotShownReason } from '../../model/verdict.ts';
import type { BandView } from './band-view.ts';
import type { CellState } from './cell-states.ts';
import type { HiddenInCell } from './what-could-hide.ts';

/** What several captures of one set of conditions say of one cell together. `unusable`: seen, but by no capture that may show it. */
export type UnionState = CellState | 'unusable';

export interface CellUnion {
  readonly state: UnionState;
  readonly isCleanAtBest: boolean;
  /** What the best capture could have missed here; null where none may show anything. */
  readonly hidden: HiddenInCell | null;
}

/** A capture may show that something holds where nothing forbids the comparison and its reading can only be too high. */
export function mayShow({ obstacle, fit }: BandView): boolean {
  return obstacle === null && fit.holds === null;
}

/**
 * Captures of like conditions taken together, cell by cell: a line in any of them counts; clean is what at least one shows and none
 * contradicts. A line that exceeds in a reading that may be too high is doubtful.
 */
export function unionOf(views: readonly BandView[], cells: number): CellUnion[] {
  return Array.from({ length: cells }, (_, i): CellUnion => {
    const states = views.map((view) => stateIn(view, i));
    const usable = views.filter(mayShow);
    const shown = usable.map((view) => view.hidden[i]!).filter(({ uncoveredWhy }) => uncoveredWhy === null);
    const hidden = shown.reduce<HiddenInCell | null>(
      (best, one) => (best === null || one.overDb < best.overDb ? one : best),
      null,
    );
    const isCleanAtBest =
      usable.some((view) => view.cells[i]!.isCleanAtBest) &&
      !states.includes('spoiled') &&
      views.every((view) => view.cells[i]!.state !== 'doubtful' || view.cells[i]!.isCleanAtBest);
    const state: UnionState = states.includes('spoiled')
      ? 'spoiled'
      : states.includes('doubtful')
        ? 'doubtful'
        : usable.some((view) => view.cells[i]!.state === 'clean')
          ? 'clean'
          : usable.length === 0
            ? 'unusable'
            : (['masked', 'insensitive', 'uncovered'] as const).find((one) =>
                usable.some((view) => view.cells[i]!.state === one),
              )!;
    return { state, isCleanAtBest, hidden };
  });
}

function stateIn({ cells, fit }: BandView, i: number): CellState {
  const { state } = cells[i]!;
  return state === 'spoiled' && fit.fallsShort !== null ? 'doubtful' : state;
}

/** The reason that a cell's state gives for not being shown. */
export const REASON_OF: Readonly<Record<Exclude<UnionState, 'clean' | 'spoiled' | 'unusable'>, NotShownReason>> = {
  uncovered: 'not measured',
  insensitive: 'not sensitive enough',
  masked: 'masked',
  doubtful: 'cannot tell',
};
