import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import * as v from 'valibot';

/** A small JSON file of the program's own. Where it is damaged or cannot be read it is as good as none. */
export function readJsonFile<T>(path: string, schema: v.GenericSchema<unknown, T>, none: T): T {
  try {
    return v.parse(schema, JSON.parse(readFileSync(path, 'utf8')));
  } catch {
    return none;
  }
}

/** Written beside and moved over, so that a power cut leaves the old file or the new one. One that cannot be written is no fault of a call. */
export function writeJsonFile(path: string, value: unknown): void {
  try {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(`${path}.new`, JSON.stringify(value, null, 2));
    renameSync(`${path}.new`, path);
  } catch {
    return;
  }
}
