import type { App } from '../../state/app.svelte.ts';
import type { Command } from '../../state/keys.svelte.ts';

/** Keys of the Plan screen: one hand moves two sources, the other chooses among plans. */
export function planCommands(app: App, keep: () => void): readonly Command[] {
  const { plan } = app;
  const group = 'Plan';
  const first = () => plan.pair[0];
  const second = () => plan.pair[1];
  const step = (source: string | undefined, by: number) => {
    if (source !== undefined) plan.step(source, by);
  };
  const lock = (source: string | undefined) => {
    if (source !== undefined) plan.nextLock(source);
  };
  const rank = (by: number) => plan.choosePlan(plan.rankOfChosen < 0 ? 0 : plan.rankOfChosen + by);
  return [
    { keys: ['ArrowLeft'], show: ['←'], label: '', run: () => step(first(), -1), group, inLine: true },
    {
      keys: ['ArrowRight'],
      show: ['→'],
      label: 'first source, one step',
      run: () => step(first(), 1),
      group,
      inLine: true,
    },
    { keys: ['ArrowDown'], show: ['↓'], label: '', run: () => step(second(), -1), group, inLine: true },
    {
      keys: ['ArrowUp'],
      show: ['↑'],
      label: 'second source, one step',
      run: () => step(second(), 1),
      group,
      inLine: true,
    },
    { keys: ['l'], show: ['L'], label: 'next lock', run: () => lock(first()), group, inLine: true },
    { keys: ['k'], show: ['K'], label: 'next lock of the second', run: () => lock(second()), group },
    { keys: ['n'], show: ['N'], label: 'next plan', run: () => rank(1), group, inLine: true },
    { keys: ['p'], show: ['P'], label: 'plan before', run: () => rank(-1), group },
    { keys: ['Enter', 'a'], show: ['A'], label: 'keep this plan', run: keep, group, inLine: true },
    { keys: ['r'], show: ['R'], label: 'back to today', run: () => plan.reset(), group, inLine: true },
    { keys: ['Backspace'], show: ['⌫'], label: 'one setting back', run: () => plan.back(), group, inLine: true },
    { keys: ['Shift+Backspace'], show: ['Shift', '⌫'], label: 'and forward', run: () => plan.forward(), group },
    { keys: ['s'], show: ['S'], label: 'search again', run: () => void plan.search(), group },
  ];
}
