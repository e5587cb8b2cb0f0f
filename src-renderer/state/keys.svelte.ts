import { untrack } from 'svelte';

export interface Command {
  /** Values of KeyboardEvent.key, or `Ctrl+z`, `Ctrl+Shift+z`, `Shift+ArrowLeft`. Ctrl also means the command key. */
  readonly keys: readonly string[];
  /** The key caps as shown. */
  readonly show: readonly string[];
  readonly label: string;
  readonly run: () => void;
  /** Shown in the key line at the foot; all commands are on the F1 sheet. */
  readonly inLine?: boolean;
  readonly group: string;
}

interface Layer {
  readonly commands: readonly Command[];
  readonly exclusive: boolean;
}

/** Which keys act now. The layer added last is asked first; an exclusive layer (a sheet) hides those under it. */
export class Keys {
  #layers = $state.raw<readonly Layer[]>([]);

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

  get all(): readonly Command[] {
    return this.#layers.flatMap((layer) => layer.commands);
  }

  /** Runs the command of this key press; false where none has it. */
  press(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'>, typing: boolean): boolean {
    const name = keyName(event);
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
): readonly { readonly caps: readonly string[]; readonly label: string }[] {
  const groups: { caps: string[]; label: string }[] = [];
  let caps: string[] = [];
  for (const command of commands) {
    caps.push(...command.show);
    if (command.label === '') continue;
    groups.push({ caps, label: command.label });
    caps = [];
  }
  return groups;
}

function keyName(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'>): string {
  const control = event.ctrlKey || event.metaKey;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const shift = event.shiftKey && (control || event.key.length > 1);
  return (control ? 'Ctrl+' : '') + (event.altKey ? 'Alt+' : '') + (shift ? 'Shift+' : '') + key;
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
