import Fixes from './fixes/Fixes.svelte';
import History from './history/History.svelte';
import Plan from './plan/Plan.svelte';
import Sheets from './shell/Sheets.svelte';
import Signoff from './signoff/Signoff.svelte';
import Sources from './sources/Sources.svelte';

/** What the first picture does without: fetched once it is painted, or as soon as it is asked for. */
export const LATER = {
  screens: { sources: Sources, fixes: Fixes, plan: Plan, signoff: Signoff, history: History },
  Sheets,
};
