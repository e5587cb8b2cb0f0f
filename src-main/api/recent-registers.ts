import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import * as v from 'valibot';
import type { RecentRegister } from './contract.ts';

const KEPT = 12;

const schema = v.object({
  /** The register to open at the next start; null: the scratch register. */
  last: v.nullable(v.string()),
  recent: v.array(v.object({ path: v.string(), title: v.string(), openedAt: v.string() })),
});

type Remembered = v.InferOutput<typeof schema>;

/** Which registers were opened lately, newest first, and which one last; a small JSON file. A damaged file is as good as none. */
export class RecentRegisters {
  readonly #path: string;

  constructor(path: string) {
    this.#path = path;
  }

  list(): readonly RecentRegister[] {
    return this.#read().recent.map((entry) => ({ ...entry, exists: existsSync(entry.path) }));
  }

  last(): string | null {
    return this.#read().last;
  }

  /** Puts a register on top. The scratch register is remembered as the last one but not listed. */
  opened({ path, title, openedAt }: Omit<RecentRegister, 'exists'>, isScratch: boolean): void {
    const { recent } = this.#read();
    const others = recent.filter((entry) => entry.path !== path);
    this.#write({
      last: isScratch ? null : path,
      recent: isScratch ? recent : [{ path, title, openedAt }, ...others].slice(0, KEPT),
    });
  }

  #read(): Remembered {
    try {
      return v.parse(schema, JSON.parse(readFileSync(this.#path, 'utf8')));
    } catch {
      return { last: null, recent: [] };
    }
  }

  // Written beside and moved over, so that a power cut leaves the old list or the new one. A list that cannot be kept is no
  // reason to refuse the register itself.
  #write(remembered: Remembered): void {
    try {
      mkdirSync(dirname(this.#path), { recursive: true });
      writeFileSync(`${this.#path}.new`, JSON.stringify(remembered, null, 2));
      renameSync(`${this.#path}.new`, this.#path);
    } catch {
      return;
    }
  }
}
