import type { BuildState, ConfigurationItem, Fix } from '../../model/build-state.ts';

/** An item that was changed for another between two states. */
export interface ChangedItem {
  readonly item: string;
  /** '' where the item was not there. */
  readonly fromSerial: string;
  readonly toSerial: string;
}

/** An earlier state whose captures may speak for a later one. */
export interface EarlierState {
  readonly stateId: number;
  /** What was done in between; empty: nothing, so its evidence is inherited unless an item was changed. */
  readonly fixes: readonly string[];
  readonly changed: readonly ChangedItem[];
}

/**
 * The states that a state comes from, nearest first, with what lies between: fixes made or taken out on the way, and items of the
 * configuration whose serial or revision differs, or that were added or left out.
 *
 * A circle of parents ends the line.
 */
export function earlierStatesOf(
  stateId: number,
  states: readonly BuildState[],
  fixes: readonly Fix[],
): readonly EarlierState[] {
  const byId = new Map(states.map((state) => [state.id, state]));
  const judged = byId.get(stateId);
  if (judged === undefined) return [];
  const line: BuildState[] = [judged];
  for (let at = parentOf(judged, byId); at !== undefined && !line.includes(at); at = parentOf(at, byId)) line.push(at);
  const between: string[] = [];
  return line.slice(1).map((earlier, i) => {
    const later = line[i]!;
    between.push(...doneBetween(earlier, later, fixes));
    return {
      stateId: earlier.id,
      fixes: [...between],
      changed: changedItems(earlier.configuration, judged.configuration),
    };
  });
}

function parentOf({ parentId }: BuildState, byId: ReadonlyMap<number, BuildState>): BuildState | undefined {
  return parentId === null ? undefined : byId.get(parentId);
}

/** Fixes on one step, and those taken out during it. */
function doneBetween(earlier: BuildState, later: BuildState, fixes: readonly Fix[]): string[] {
  const [since, until] = [Date.parse(earlier.at), Date.parse(later.at)];
  return fixes.flatMap((fix) => {
    if (fix.fromStateId === earlier.id && fix.toStateId === later.id) return [fix.change];
    const undone = fix.undoneAt === null ? NaN : Date.parse(fix.undoneAt);
    return since < undone && undone <= until ? [`${fix.change}, taken out again`] : [];
  });
}

/** Items by name; several of one name are held against each other as sets of serial, revision and detail. */
export function changedItems(
  before: readonly ConfigurationItem[],
  after: readonly ConfigurationItem[],
): readonly ChangedItem[] {
  const names = [...new Set([...before, ...after].map(({ item }) => item))];
  return names.flatMap((item) => {
    const old = before.filter((entry) => entry.item === item);
    const now = after.filter((entry) => entry.item === item);
    const lost = old.filter((entry) => !now.some((other) => isSame(entry, other)));
    const come = now.filter((entry) => !old.some((other) => isSame(entry, other)));
    return Array.from({ length: Math.max(lost.length, come.length) }, (_, i) => ({
      item,
      fromSerial: lost[i] === undefined ? '' : wordsOf(lost[i]),
      toSerial: come[i] === undefined ? '' : wordsOf(come[i]),
    }));
  });
}

function isSame(a: ConfigurationItem, b: ConfigurationItem): boolean {
  return a.serial === b.serial && a.revision === b.revision && a.detail === b.detail;
}

/** The serial where there is one, else whatever fixes the item. */
function wordsOf({ serial, revision, detail }: ConfigurationItem): string {
  return [serial, revision === '' ? '' : `rev ${revision}`, serial === '' ? detail : '']
    .filter((part) => part !== '')
    .join(' ');
}
