import type { App } from '../../state/app.svelte.ts';
import type { Command } from '../../state/keys.svelte.ts';

/** Keys that act on every screen. */
export function shellCommands(app: App): readonly Command[] {
  const screens = ['bench', 'sources', 'fixes', 'plan', 'signoff', 'history'] as const;
  return [
    { keys: ['F1'], show: ['F1'], label: 'every mark and key', run: () => (app.sheet = 'marks'), group: 'Everywhere' },
    {
      keys: ['/'],
      show: ['/'],
      label: 'go to a spur, source or frequency',
      run: () => (app.sheet = 'goto'),
      group: 'Everywhere',
    },
    { keys: ['Ctrl+z'], show: ['Ctrl', 'Z'], label: 'undo', run: () => void app.undo(), group: 'Everywhere' },
    {
      keys: ['Ctrl+Shift+z', 'Ctrl+y'],
      show: ['Ctrl', 'Shift', 'Z'],
      label: 'redo',
      run: () => void app.redo(),
      group: 'Everywhere',
    },
    {
      keys: ['d'],
      show: ['D'],
      label: 'look: light or dark, contrast, size, unit of frequency',
      run: () => (app.sheet = 'look'),
      group: 'Everywhere',
    },
    { keys: ['Ctrl+p'], show: ['Ctrl', 'P'], label: 'print this screen', run: () => print(), group: 'Everywhere' },
    { keys: ['g'], show: ['G'], label: 'registers', run: () => (app.sheet = 'registers'), group: 'Everywhere' },
    ...screens.map((screen, i): Command => ({
      keys: [`Alt+${i + 1}`],
      show: ['Alt', String(i + 1)],
      label: `screen ${screen === 'signoff' ? 'sign-off' : screen}`,
      run: () => (app.screen = screen),
      group: 'Everywhere',
    })),
  ];
}
