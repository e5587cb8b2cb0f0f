import { basename } from 'node:path';
import type { Condition } from '../model/condition.ts';

/**
 * The row of a condition table that means a capture: the one whose `file` is the name as given, else the one that
 * names the end of the path (`lid-on/a.csv` for `runs/lid-on/a.csv`), else the one with the same last name. Null where none does.
 */
export function conditionFor(conditions: readonly Condition[], file: string): Condition | null {
  const name = slashes(file);
  return (
    conditions.find((condition) => slashes(condition.file) === name) ??
    conditions.find((condition) => name.endsWith(`/${slashes(condition.file)}`)) ??
    conditions.find((condition) => !slashes(condition.file).includes('/') && condition.file === basename(name)) ??
    null
  );
}

/** Rows that mean none of the captures: usually a slip in a name. */
export function unusedConditions(conditions: readonly Condition[], files: readonly string[]): readonly Condition[] {
  const used = new Set(files.map((file) => conditionFor(conditions, file)));
  return conditions.filter((condition) => !used.has(condition));
}

/** Windows and POSIX separators alike, without a leading `./`. */
function slashes(path: string): string {
  return path.replaceAll('\\', '/').replace(/^(\.\/)+/, '');
}
