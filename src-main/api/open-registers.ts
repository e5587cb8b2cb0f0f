import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { dirname, isAbsolute, join } from 'node:path';
import { createRegister, openRegister, type Register } from '../register/register.ts';
import type { OpenRegister } from './open-register.ts';
import { REGISTER_EXTENSION } from './folder-list.ts';
import { openScratch, scratchPath } from './open-scratch.ts';
import type { OpenedRegister, SessionSettings } from './session.ts';

interface Held {
  readonly file: string;
  readonly open: OpenRegister;
  windows: number;
  closing: NodeJS.Timeout | null;
}

/** What the pool needs of its surroundings. */
export interface PoolSettings extends Omit<SessionSettings, 'emit'> {
  /** How long a register stays open after its last window is gone: a page that is loaded anew comes back to it. */
  readonly graceMs: number;
}

/**
 * The registers that are open, each once however many windows show it. A register is closed when its last window is gone, the grace time
 * is over and nothing that was asked of it is still under way.
 */
export class OpenRegisters {
  readonly settings: PoolSettings;
  readonly #make: (opened: OpenedRegister) => OpenRegister;
  readonly #held = new Map<string, Held>();
  /** By key, also of registers that were closed since: their windows may come back. */
  readonly #paths = new Map<string, string>();
  readonly #keys = new Map<string, string>();

  constructor(settings: PoolSettings, make: (opened: OpenedRegister) => OpenRegister) {
    this.settings = settings;
    this.#make = make;
  }

  /** Number of registers open now. */
  get size(): number {
    return this.#held.size;
  }

  /** The register that this path names, opened where no window has it yet. @throws RegisterError */
  open(path: string): OpenRegister {
    const absolute = this.#absolute(path);
    const known = this.#held.get(fileOf(absolute));
    return this.#chosen(known?.open ?? this.#hold(openRegister(absolute, this.settings), false));
  }

  /** Makes a new register and opens it. Never writes over a file. @throws RegisterError */
  create(path: string, title: string): OpenRegister {
    const absolute = this.#absolute(path);
    const named = absolute.toLowerCase().endsWith(REGISTER_EXTENSION) ? absolute : absolute + REGISTER_EXTENSION;
    mkdirSync(dirname(named), { recursive: true });
    return this.#chosen(this.#hold(createRegister(named, { title, isInvented: false }, this.settings), false));
  }

  /**
   * The key of the register that this path names, so that a window can be opened on it. It is opened for a look, and stays open for the
   * grace time. @throws RegisterError
   */
  look(path: string): string {
    const open = this.open(path);
    const held = this.#heldOf(open);
    if (held.windows === 0 && held.closing === null) this.#closeLater(held);
    return open.session.key;
  }

  /** The register of a key; with none, or one that cannot be opened any more, the one used last, else the scratch register. */
  ofKey(key: string | null): OpenRegister {
    const path = key === null ? null : (this.#paths.get(key) ?? null);
    return this.#tryOpen(path) ?? this.#tryOpen(this.settings.recent.last()) ?? this.#scratch();
  }

  enter(register: OpenRegister): void {
    const held = this.#heldOf(register);
    held.windows++;
    if (held.closing !== null) clearTimeout(held.closing);
    held.closing = null;
  }

  leave(register: OpenRegister): void {
    const held = this.#heldOf(register);
    held.windows--;
    if (held.windows === 0) this.#closeLater(held);
  }

  /** Closes all, whatever is under way. */
  async close(): Promise<void> {
    const all = [...this.#held.values()];
    this.#held.clear();
    for (const { closing } of all) if (closing !== null) clearTimeout(closing);
    await Promise.all(all.map(({ open }) => open.close()));
  }

  #closeLater(held: Held): void {
    held.closing = setTimeout(() => {
      held.closing = null;
      if (held.windows > 0 || !this.#held.has(held.file)) return;
      if (held.open.isBusy) return this.#closeLater(held);
      this.#held.delete(held.file);
      void held.open.close();
    }, this.settings.graceMs);
    // waiting alone must not keep the program alive
    held.closing.unref();
  }

  #scratch(): OpenRegister {
    const known = [...this.#held.values()].find(({ open }) => open.session.info().isScratch);
    if (known !== undefined) return known.open;
    const register = openScratch(this.settings.dataFolder, this.settings);
    // it may have been held as a register that was opened by its path
    const same = this.#held.get(fileOf(register.path));
    if (same === undefined) return this.#hold(register, true);
    register.close();
    return same.open;
  }

  #tryOpen(path: string | null): OpenRegister | null {
    if (path === null || !existsSync(path)) return null;
    try {
      const known = this.#held.get(fileOf(path));
      return known?.open ?? this.#hold(openRegister(path, this.settings), false);
    } catch {
      return null;
    }
  }

  #hold(register: Register, asScratch: boolean): OpenRegister {
    const file = fileOf(register.path);
    const isScratch = asScratch || register.path === scratchPath(this.settings.dataFolder);
    const open = this.#make({ register, isScratch, key: this.#keyOf(file, register.path) });
    this.#held.set(file, { file, open, windows: 0, closing: null });
    return open;
  }

  #keyOf(file: string, path: string): string {
    const key = this.#keys.get(file) ?? randomBytes(9).toString('base64url');
    this.#keys.set(file, key);
    this.#paths.set(key, path);
    return key;
  }

  #heldOf(register: OpenRegister): Held {
    for (const held of this.#held.values()) if (held.open === register) return held;
    // closed with the whole program: its windows may still say goodbye
    return { file: '', open: register, windows: 2, closing: null };
  }

  #chosen(open: OpenRegister): OpenRegister {
    const { path, title, isScratch } = open.session.info();
    const openedAt = this.settings.now().toISOString();
    this.settings.recent.opened({ path, title, openedAt }, isScratch);
    return open;
  }

  #absolute(path: string): string {
    return isAbsolute(path) ? path : join(this.settings.documentsFolder, path);
  }
}

/** What tells one file from another, by whatever name it was opened. */
function fileOf(path: string): string {
  try {
    const { dev, ino } = statSync(path, { bigint: true });
    return `${dev}:${ino}`;
  } catch {
    return path;
  }
}
