import type { PacketContents } from '../../model/packet.ts';
import { losslessJson } from '../../report/packet/lossless-json.ts';

/** Lists that are held against each other: what one entry is called, and what makes it the same entry. */
const LISTS: readonly {
  readonly of: (contents: PacketContents) => readonly unknown[];
  readonly what: string;
  readonly key: (entry: never) => string | number;
  readonly name: (entry: never) => string;
}[] = [
  list(
    (contents) => contents.states,
    'state',
    ({ id }) => id,
    ({ name }) => name,
  ),
  list(
    (contents) => contents.fixes,
    'fix',
    ({ id }) => id,
    ({ change }) => `“${change}”`,
  ),
  list(
    (contents) => contents.events,
    'event',
    ({ id }) => id,
    ({ kind, at }) => `${kind} of ${at.slice(0, 10)}`,
  ),
  list(
    (contents) => contents.points,
    'measuring point',
    ({ id }) => id,
    ({ name }) => name,
  ),
  list(
    (contents) => contents.bands,
    'band',
    ({ name }) => name,
    ({ name }) => name,
  ),
  list(
    (contents) => contents.sources,
    'source',
    ({ letter }) => letter,
    ({ source }) => source.designator,
  ),
  list(
    (contents) => contents.captures,
    'capture',
    ({ id }) => id,
    ({ file }) => file,
  ),
  list(
    (contents) => contents.decisions,
    'decision',
    ({ id }) => id,
    ({ kind, frequencyHz }) => `${kind} at ${(frequencyHz / 1e6).toFixed(6)} MHz`,
  ),
  list(
    (contents) => contents.requirements,
    'requirement',
    ({ id }) => id,
    ({ code }) => code,
  ),
  list(
    (contents) => contents.limits,
    'limit line',
    ({ name }) => name,
    ({ name }) => name,
  ),
  list(
    (contents) => contents.dispositions,
    'disposition',
    ({ id }) => id,
    ({ reason }) => `“${reason.slice(0, 60)}”`,
  ),
  list(
    (contents) => contents.rechecks,
    're-check',
    ({ id }) => id,
    ({ at }) => `of ${at.slice(0, 10)}`,
  ),
  list(
    (contents) => contents.notes,
    'review note',
    ({ id }) => id,
    ({ text }) => `“${text.slice(0, 60)}”`,
  ),
];

/** What differs from an earlier revision, one line each: added, gone, changed with the fields that changed. */
export function contentsDifferences(earlier: PacketContents, later: PacketContents): string[] {
  const lines = LISTS.flatMap(({ of, what, key, name }) => {
    const before = new Map(of(earlier).map((entry) => [key(entry as never), entry]));
    const after = new Map(of(later).map((entry) => [key(entry as never), entry]));
    return [
      ...[...after].flatMap(([k, entry]) => {
        const old = before.get(k);
        if (old === undefined) return [`${what} ${name(entry as never)}: added`];
        const fields = changedFields(old, entry);
        return fields.length === 0 ? [] : [`${what} ${name(entry as never)}: changed ${fields.join(', ')}`];
      }),
      ...[...before].flatMap(([k, entry]) =>
        after.has(k) ? [] : [`${what} ${name(entry as never)}: no longer there`],
      ),
    ];
  });
  const order =
    earlier.captures.map(({ id }) => id).join() !==
    later.captures
      .filter(({ id }) => earlier.captures.some((one) => one.id === id))
      .map(({ id }) => id)
      .join();
  return [
    ...(earlier.title === later.title ? [] : [`title: changed from “${earlier.title}”`]),
    ...(earlier.engineVersion === later.engineVersion
      ? []
      : [`program: spurledger ${earlier.engineVersion} before, ${later.engineVersion} now`]),
    ...lines,
    ...(order && !lines.some((line) => line.startsWith('capture')) ? ['captures: in another order'] : []),
  ];
}

function changedFields(before: unknown, after: unknown): string[] {
  const [a, b] = [before, after] as [Record<string, unknown>, Record<string, unknown>];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].filter(
    (name) => losslessJson(a[name] ?? null) !== losslessJson(b[name] ?? null),
  );
}

/** Ties the kind of entry to its naming; the table above forgets it, since its rows are of many kinds. */
function list<T>(
  of: (contents: PacketContents) => readonly T[],
  what: string,
  key: (entry: T) => string | number,
  name: (entry: T) => string,
) {
  return { of, what, key, name } as (typeof LISTS)[number];
}
