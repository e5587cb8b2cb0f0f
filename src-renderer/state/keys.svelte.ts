import { untrack } from 'svelte';
import { capOn, capsOf, commandEntry, keysOn, type CommandId } from '../../src-main/model/commands.ts';

export interface Command {
  /** As in the table of commands (model/commands); left out for keys that only move within one screen. */
  readonly id?: CommandId;
  /** Values of KeyboardEvent.key, or `Ctrl+z`, `Ctrl+Shift+z`, `Shift+ArrowLeft`. Ctrl is the command key on a Mac. */
  readonly keys: readonly string[];
  /** The key caps as shown. */
  readonly show: readonly string[];
  readonly label: string;
  readonly run: () => void;
  /** Shown in the key line at the foot; all commands are on the F1 sheet. */
  readonly inLine?: boolean;
  readonly group: string;
  /** Whether it would do anything now; left out: always. */
  readonly can?: () => boolean;
  /** When it can be used, in words. */
  readonly when?: string;
}

/** True on a Mac, where the command key does what Control does elsewhere. */
export const IS_MAC = typeof navigator !== 'undefined' && /mac/i.test(navigator.platform);

/** An entry of the table of commands with what it does on this page. */
export function bound(
  id: CommandId,
  run: () => void,
  { can, inLine, isMac = IS_MAC }: { can?: () => boolean; inLine?: boolean; isMac?: boolean } = {},
): Command {
  const entry = commandEntry(id);
  const keys = keysOn(entry, isMac);
  return {
    id,
    keys,
    show: capsOf(keys[0]!, isMac),
    label: entry.words[0]!.toLowerCase() + entry.words.slice(1).replace(/ …$/, ''),
    run,
    group: entry.menu,
    ...(inLine === undefined ? {} : { inLine }),
    ...(can === undefined ? {} : { can }),
    ...(entry.when === undefined ? {} : { when: entry.when }),
  };
}

interface Layer {
  readonly commands: readonly Command[];
  readonly exclusive: boolean;
}

/** Which keys act now. The layer added last is asked first; an exclusive layer (a sheet) hides those under it. */
export class Keys {
  #layers = $state.raw<readonly Layer[]>([]);
  readonly #isMac: boolean;

  constructor(isMac = IS_MAC) {
    this.#isMac = isMac;
  }

  use(commands: readonly Command[], exclusive = false): () => void {
    const layer: Layer = { commands, exclusive };
    // Called from effects, which must not run again because the list they add to has changed.
    untrack(() => {
      // A screen that is drawn anew under an open sheet takes its keys back only when the sheet closes.
      const sheet = exclusive ? -1 : this.#layers.findIndex((other) => other.exclusive);
      const at = sheet < 0 ? this.#layers.length : sheet;
      this.#layers = this.#layers.toSpliced(at, 0, layer);
    });
    return () => untrack(() => (this.#layers = this.#layers.filter((other) => other !== layer)));
  }

  get active(): readonly Command[] {
    const from = this.#layers.findLastIndex((layer) => layer.exclusive);
    return this.#layers.slice(Math.max(0, from)).flatMap((layer) => layer.commands);
  }

  /** All commands of the page; where a screen has one of the shell's its own way, its own. */
  get all(): readonly Command[] {
    const all = this.#layers.flatMap((layer) => layer.commands);
    return all.filter(({ id }, i) => id === undefined || all.findLastIndex((other) => other.id === id) === i);
  }

  /** Those of the table of commands that would do something now. */
  get usable(): readonly CommandId[] {
    return this.active.flatMap(({ id, can }) => (id !== undefined && (can?.() ?? true) ? [id] : []));
  }

  /** Runs a command of the table as a menu outside the page asks for it; nothing where it cannot be used now. */
  runById(id: string): void {
    const command = this.active.findLast((candidate) => candidate.id === id);
    if (command !== undefined && (command.can?.() ?? true)) command.run();
  }

  /** Runs the command of this key press; false where none has it. */
  press(event: KeyPress, typing: boolean): boolean {
    const name = keyName(event, this.#isMac);
    // While text is typed only keys that write nothing may act.
    if (typing && !name.startsWith('Ctrl+') && !/^(F\d+|Escape)$/.test(name)) return false;
    if (typing && /^Ctrl\+(Shift\+)?[zacvx]$/.test(name)) return false; // the field's own undo, copy and paste
    const command = this.active.findLast((candidate) => candidate.keys.includes(name));
    if (command === undefined) return false;
    command.run();
    return true;
  }
}

/** Keys with no words of their own stand before the words of the next command: `← → next spur`. */
export function joinedKeys(
  commands: readonly Command[],
  isMac = IS_MAC,
): readonly { readonly caps: readonly string[]; readonly label: string }[] {
  const groups: { caps: string[]; label: string }[] = [];
  let caps: string[] = [];
  for (const command of commands) {
    caps.push(...command.show.map((cap) => capOn(cap, isMac)));
    if (command.label === '') continue;
    groups.push({ caps, label: command.label });
    caps = [];
  }
  return groups;
}

type KeyPress = Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'> & { readonly code?: string };

function keyName(event: KeyPress, isMac: boolean): string {
  const [control, other] = isMac ? [event.metaKey, event.ctrlKey] : [event.ctrlKey, event.metaKey];
  const key = plainKey(event);
  const shift = event.shiftKey && (control || event.key.length > 1);
  // the other of the two keys is the system's, and no command has it
  return (
    (other ? 'Other+' : '') + (control ? 'Ctrl+' : '') + (event.altKey ? 'Alt+' : '') + (shift ? 'Shift+' : '') + key
  );
}

/** With Alt many keyboards write another sign (on a Mac all of them): the key itself is meant. */
function plainKey({ key, code = '', altKey }: KeyPress): string {
  if (key.length > 1 && key !== 'Dead') return key;
  const meant = /^(?:Key|Digit)(.)$/.exec(code)?.[1];
  return (altKey && meant !== undefined && !/^[a-z0-9]$/i.test(key) ? meant : key).toLowerCase();
}

/** True where a key press writes into a field or works a widget that needs its own arrows and letters. */
export function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement)
    return true;
  return target instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'file'].includes(target.type);
}

/** True where Enter or Space already work the focused control (a button, a row of a sheet). */
export function worksItself(target: EventTarget | null, key: string): boolean {
  return (
    (key === 'Enter' || key === ' ') &&
    target instanceof HTMLElement &&
    target.closest('button, summary, a, [role=option]') !== null
  );
}
