import type { Cause } from '../../src-main/model/attribution.ts';
import type { Screen } from './app.svelte.ts';
import type { GridOrder } from './grid-rows.ts';
import type { SortKey } from './spur-rows.ts';

/** Where a page is in its register: what it shows, how near, in which order and through which filters. */
export interface Place {
  readonly screen: Screen;
  readonly captureId: number | null;
  readonly view: {
    readonly lowHz: number;
    readonly highHz: number;
    readonly lowDb: number | null;
    readonly highDb: number | null;
  } | null;
  readonly spurHz: number | null;
  readonly isLog: boolean;
  readonly lower: 'spurs' | 'waterfall';
  readonly sortKey: SortKey;
  readonly descending: boolean;
  readonly text: string;
  readonly cause: Cause | null;
  readonly source: string | null;
  readonly grid: {
    readonly isShown: boolean;
    readonly order: GridOrder;
    readonly source: string | null;
    readonly band: string | null;
  };
}

const SCREENS: readonly Screen[] = ['bench', 'sources', 'fixes', 'plan', 'signoff', 'history'];
const SORT_KEYS: readonly SortKey[] = [
  'number',
  'cause',
  'tag',
  'frequency',
  'doubt',
  'level',
  'over',
  'margin',
  'decided',
];

/**
 * The place that a page wrote, or null where it wrote none or something else. Each part that cannot be read is as at the first start: what
 * an older or newer program kept must not keep a register from opening.
 */
export function readPlace(text: string | null): Place | null {
  if (text === null) return null;
  let kept: Partial<Record<string, unknown>>;
  try {
    const parsed: unknown = JSON.parse(text);
    if (typeof parsed !== 'object' || parsed === null) return null;
    kept = parsed;
  } catch {
    return null;
  }
  const grid = objectOf(kept['grid']);
  return {
    screen: oneOf(kept['screen'], SCREENS) ?? 'bench',
    captureId: numberOf(kept['captureId']),
    view: viewOf(kept['view']),
    spurHz: numberOf(kept['spurHz']),
    isLog: kept['isLog'] === true,
    lower: oneOf(kept['lower'], ['spurs', 'waterfall'] as const) ?? 'spurs',
    sortKey: oneOf(kept['sortKey'], SORT_KEYS) ?? 'frequency',
    descending: kept['descending'] === true,
    text: textOf(kept['text']) ?? '',
    cause: textOf(kept['cause']) as Cause | null,
    source: textOf(kept['source']),
    grid: {
      isShown: grid['isShown'] === true,
      order: oneOf(grid['order'], ['source', 'worst'] as const) ?? 'source',
      source: textOf(grid['source']),
      band: textOf(grid['band']),
    },
  };
}

function viewOf(value: unknown): Place['view'] {
  const view = objectOf(value);
  const [lowHz, highHz] = [numberOf(view['lowHz']), numberOf(view['highHz'])];
  if (lowHz === null || highHz === null || lowHz >= highHz) return null;
  return { lowHz, highHz, lowDb: numberOf(view['lowDb']), highDb: numberOf(view['highDb']) };
}

function objectOf(value: unknown): Partial<Record<string, unknown>> {
  return typeof value === 'object' && value !== null ? value : {};
}

function numberOf(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}

function textOf(value: unknown): string | null {
  return typeof value === 'string' ? value : null;
}

function oneOf<T extends string>(value: unknown, all: readonly T[]): T | null {
  return all.find((one) => one === value) ?? null;
}
