import { problemText } from '../../state/door.ts';
import { copyText } from '../../state/copy-text.ts';
import type { App, Screen } from '../../state/app.svelte.ts';
import { bound, isTyping, type Command } from '../../state/keys.svelte.ts';

const SCREENS: readonly Screen[] = ['bench', 'sources', 'fixes', 'plan', 'signoff', 'history'];

/**
 * What can be done on every screen.
 *
 * @param pickFiles opens the platform's dialog of files
 */
export function shellCommands(app: App, pickFiles: () => void): readonly Command[] {
  const { notices, register } = app;
  return [
    bound('registers', () => (app.sheet = 'registers')),
    bound('window.same', () => void app.openBeside()),
    bound('captures.open', pickFiles),
    bound('print', () => app.look.print()),
    bound('undo', () => void app.undo(), { can: () => register.info?.canUndo ?? false }),
    bound('redo', () => void app.redo(), { can: () => register.info?.canRedo ?? false }),
    bound('notices.copy', () => void copyText(notices.list.map(({ problem }) => problemText(problem)).join('\n\n')), {
      can: () => notices.list.length > 0,
    }),
    bound('look', () => (app.sheet = 'look')),
    bound('find', () => (app.sheet = 'goto')),
    ...SCREENS.map((screen) => bound(`screen.${screen}`, () => (app.screen = screen))),
    bound('help', () => (app.sheet = 'marks')),
  ];
}

/** A command chosen in a menu outside the page. In a field, undo and redo are those of the field, as by the key. */
export function runFromMenu(app: App, id: string): void {
  // the platform's own undo of a field has no other name than this one

  if ((id === 'undo' || id === 'redo') && isTyping(document.activeElement)) document.execCommand(id);
  else app.keys.runById(id);
}
