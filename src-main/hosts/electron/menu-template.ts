import type { MenuItemConstructorOptions } from 'electron';
import { COMMANDS, keysOn, MENUS, type CommandEntry, type MenuName } from '../../model/commands.ts';

export interface MenuState {
  readonly isMac: boolean;
  /** Ids of the commands that the window in front can carry out now. */
  readonly usable: ReadonlySet<string>;
  /** A command was chosen. */
  readonly choose: (id: string) => void;
}

/** The menu bar: the table of commands, and around it what the platform brings itself. */
export function menuTemplate(state: MenuState): MenuItemConstructorOptions[] {
  const { isMac } = state;
  const own = MENUS.map((menu): MenuItemConstructorOptions => {
    const items = COMMANDS.filter((command) => command.menu === menu).map((command) => itemOf(command, state));
    const given = PLATFORM_ITEMS(isMac)[menu] ?? [];
    return { label: menu, submenu: given.length === 0 ? items : [...items, { type: 'separator' }, ...given] };
  });
  const beforeHelp = own.slice(0, -1);
  return [
    ...(isMac ? [{ role: 'appMenu' as const }] : []),
    ...beforeHelp,
    { role: 'windowMenu' },
    { ...own.at(-1)!, ...(isMac ? { role: 'help' as const } : {}) },
  ];
}

const PLATFORM_ITEMS = (isMac: boolean): Partial<Record<MenuName, MenuItemConstructorOptions[]>> => ({
  File: [{ role: isMac ? 'close' : 'quit' }],
  Edit: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }],
  View: [{ role: 'zoomIn' }, { role: 'zoomOut' }, { role: 'resetZoom' }, { role: 'togglefullscreen' }],
});

function itemOf(entry: CommandEntry, { isMac, usable, choose }: MenuState): MenuItemConstructorOptions {
  return {
    id: entry.id,
    label: entry.words,
    enabled: usable.has(entry.id),
    ...(entry.when === undefined ? {} : { toolTip: `When ${entry.when}.` }),
    ...acceleratorOf(keysOn(entry, isMac)[0]!, isMac),
    click: () => choose(entry.id),
  };
}

/**
 * The key beside the item. The page hears keys itself, and knows when they are typed into a field: where the platform allows it the key is
 * shown and not taken. A Mac takes every key that it shows, so that a bare letter is not shown there.
 */
function acceleratorOf(key: string, isMac: boolean): { accelerator?: string; registerAccelerator?: boolean } {
  const accelerator = key
    .split('+')
    .map((part) => (part === 'Ctrl' ? 'CmdOrCtrl' : part.length === 1 ? part.toUpperCase() : part))
    .join('+');
  if (!isMac) return { accelerator, registerAccelerator: false };
  return /^(Ctrl|Alt)\+|^F\d+$/.test(key) ? { accelerator } : {};
}
