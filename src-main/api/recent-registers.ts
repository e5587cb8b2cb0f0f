import { existsSync } from 'node:fs';
import * as v from 'valibot';
import type { RecentRegister } from './contract.ts';
import { readJsonFile, writeJsonFile } from './json-file.ts';

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
    return readJsonFile(this.#path, schema, { last: null, recent: [] });
  }

  // A list that cannot be kept is no reason to refuse the register itself.
  #write(remembered: Remembered): void {
    writeJsonFile(this.#path, remembered);
  }
}
