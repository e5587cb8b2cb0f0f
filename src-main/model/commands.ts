/** Menus in the order in which they stand, on the page and in Electron's own menu bar. */
export const MENUS = ['File', 'Edit', 'View', 'Go', 'Bench', 'Help'] as const;
export type MenuName = (typeof MENUS)[number];

/**
 * Something that can be done by a menu, by the command search and by a key. What runs is bound by the page; words, keys and place are
 * said here alone.
 */
export interface CommandEntry {
  readonly id: string;
  readonly menu: MenuName;
  readonly words: string;
  /**
   * Key names as of KeyboardEvent.key, the first of them shown: `d`, `Ctrl+z`, `Alt+1`. `Ctrl` is the command key on a Mac and Control
   * elsewhere.
   */
  readonly keys: readonly string[];
  /** Where the custom of the Mac differs by more than that. */
  readonly macKeys?: readonly string[];
  /** What must be the case for it to do anything; left out: always. */
  readonly when?: string;
}

const screen = <I extends string>(number: number, id: I, name: string) =>
  ({
    id: `screen.${id}`,
    menu: 'Go',
    words: name,
    keys: [`Alt+${number}`],
    macKeys: [`Ctrl+${number}`, `Alt+${number}`],
  }) as const;

const CAPTURE = 'a capture is on the bench';
const BENCH = 'the bench is shown';

/** Every command that stands in a menu. Keys that only move within one screen (arrows in a list) belong to that screen. */
export const COMMANDS = [
  { id: 'registers', menu: 'File', words: 'Registers: new, open, recent …', keys: ['g'] },
  {
    id: 'window.same',
    menu: 'File',
    words: 'This register in a new window',
    keys: ['Ctrl+Alt+n'],
  },
  { id: 'captures.open', menu: 'File', words: 'Open captures …', keys: ['o', 'Ctrl+o'] },
  { id: 'print', menu: 'File', words: 'Print this screen …', keys: ['Ctrl+p'] },
  { id: 'undo', menu: 'Edit', words: 'Undo', keys: ['Ctrl+z'], when: 'there is a step to take back' },
  {
    id: 'redo',
    menu: 'Edit',
    words: 'Redo',
    keys: ['Ctrl+Shift+z', 'Ctrl+y'],
    macKeys: ['Ctrl+Shift+z'],
    when: 'a step was taken back',
  },
  {
    id: 'notices.copy',
    menu: 'Edit',
    words: 'Copy the notices',
    keys: ['Ctrl+Alt+c'],
    when: 'a notice stands on the page',
  },
  { id: 'look', menu: 'View', words: 'Look: light or dark, contrast, size, units …', keys: ['d'] },
  { id: 'find', menu: 'Go', words: 'Go to a spur, source or frequency, or do …', keys: ['/'] },
  screen(1, 'bench', 'Bench'),
  screen(2, 'sources', 'Sources'),
  screen(3, 'fixes', 'Fixes'),
  screen(4, 'plan', 'Plan'),
  screen(5, 'signoff', 'Sign-off'),
  screen(6, 'history', 'History'),
  { id: 'bench.captures', menu: 'Bench', words: 'Captures of this register', keys: ['c'], when: BENCH },
  { id: 'bench.facts', menu: 'Bench', words: 'Floor, threshold and warnings', keys: ['i'], when: CAPTURE },
  { id: 'bench.condition', menu: 'Bench', words: 'Condition of this capture', keys: ['k'], when: CAPTURE },
  { id: 'bench.whole', menu: 'Bench', words: 'Whole capture', keys: ['w', 'Home'], when: CAPTURE },
  { id: 'bench.back', menu: 'Bench', words: 'View before', keys: ['[', 'Backspace'], when: 'there is a view before' },
  { id: 'bench.forward', menu: 'Bench', words: 'View after', keys: [']'], when: 'a view was gone back from' },
  {
    id: 'bench.log',
    menu: 'Bench',
    words: 'Frequency by its logarithm, or as it is',
    keys: ['x'],
    when: CAPTURE,
  },
  {
    id: 'bench.overlay',
    menu: 'Bench',
    words: 'Lay the capture before over it',
    keys: ['v'],
    when: CAPTURE,
  },
  { id: 'bench.rows', menu: 'Bench', words: 'Captures as rows, or the spur list', keys: ['t'], when: CAPTURE },
  { id: 'bench.measure', menu: 'Bench', words: 'Measure from here', keys: ['m'], when: CAPTURE },
  { id: 'bench.guess', menu: 'Bench', words: 'Try a fundamental', keys: ['u'], when: CAPTURE },
  { id: 'bench.filter', menu: 'Bench', words: 'Filter the spur list', keys: ['f'], when: BENCH },
  { id: 'help', menu: 'Help', words: 'Every mark and key', keys: ['F1'] },
] as const satisfies readonly CommandEntry[];

export type CommandId = (typeof COMMANDS)[number]['id'];

export function commandEntry(id: CommandId): CommandEntry {
  const entry: CommandEntry | undefined = COMMANDS.find((command) => command.id === id);
  if (entry === undefined) throw new Error(`there is no command ${id}`);
  return entry;
}

/** The keys of a command on a kind of machine. */
export function keysOn({ keys, macKeys }: CommandEntry, isMac: boolean): readonly string[] {
  return isMac ? (macKeys ?? keys) : keys;
}

const MAC_CAPS: Readonly<Record<string, string>> = { Ctrl: '⌘', Alt: '⌥', Shift: '⇧' };
const CAPS: Readonly<Record<string, string>> = {
  ArrowLeft: '←',
  ArrowRight: '→',
  ArrowUp: '↑',
  ArrowDown: '↓',
  Escape: 'Esc',
  PageUp: 'PgUp',
  PageDown: 'PgDn',
  Backspace: '⌫',
};

/** The cap of one key: on a Mac the signs that stand on its keys. */
export function capOn(cap: string, isMac: boolean): string {
  return (isMac ? MAC_CAPS[cap] : undefined) ?? cap;
}

/** A key as it is written on the keyboard of this kind of machine: `Ctrl+Shift+z` → Ctrl, Shift, Z, or ⌘ ⇧ Z. */
export function capsOf(key: string, isMac: boolean): readonly string[] {
  const parts = key === '+' ? ['+'] : key.split('+');
  return parts.map(
    (part) => (isMac ? MAC_CAPS[part] : undefined) ?? CAPS[part] ?? (part.length === 1 ? part.toUpperCase() : part),
  );
}
