import * as v from 'valibot';
import type { PageKept } from './contract/shell-calls.ts';
import { readJsonFile, writeJsonFile } from './json-file.ts';

/** As many registers' places are remembered as anyone goes back to. */
const MOST_PLACES = 50;

const schema = v.object({
  look: v.nullable(v.string()),
  /** By path of the register, the one written last at the end. */
  places: v.array(v.object({ path: v.string(), place: v.string() })),
});

/**
 * What the pages asked to be kept: how they look, and where each was in its register. A file of the program's own, because a page on the
 * loopback host has another address at every start and a fresh browser profile, and so keeps nothing by itself.
 */
export class KeptPages {
  readonly #path: string;

  constructor(path: string) {
    this.#path = path;
  }

  of(register: string): PageKept {
    const { look, places } = this.#read();
    return { look, place: places.find(({ path }) => path === register)?.place ?? null };
  }

  keep(register: string, { look, place }: { readonly look?: string; readonly place?: string }): void {
    const kept = this.#read();
    const others = kept.places.filter(({ path }) => path !== register);
    writeJsonFile(this.#path, {
      look: look ?? kept.look,
      places: place === undefined ? kept.places : [...others, { path: register, place }].slice(-MOST_PLACES),
    });
  }

  #read(): v.InferOutput<typeof schema> {
    return readJsonFile(this.#path, schema, { look: null, places: [] });
  }
}
