import type { CombFate } from './comb-fate.ts';
import type { CombView } from './comb-view.ts';
import type { SourceStatus } from './source-status.ts';

/** One capture in which sources were switched off, and what became of the combs there. */
export interface SwitchedCapture {
  readonly file: string;
  /** Sources off there that are not off here. */
  readonly switchedOff: readonly string[];
  readonly statusThere: (designator: string) => SourceStatus;
  readonly fates: readonly CombFate[];
}

/** Who can still own a comb after all switching. */
export interface OwnersAfter {
  readonly owners: readonly string[];
  /** Owners taken off the list, each with the capture that did it: the comb went on without them, or went though they ran. */
  readonly excluded: readonly { readonly source: string; readonly file: string; readonly because: 'stayed' | 'went' }[];
  /** Captures in which the comb went with a possible owner. */
  readonly wentWith: readonly { readonly file: string; readonly sources: readonly string[] }[];
  /** It had owners, and none is left. */
  readonly isRefuted: boolean;
}

/**
 * Narrows the possible owners of each comb by what it did when sources were switched off.
 *
 * A comb that goes on without a source is not that source's. A comb that goes belongs to none of those that run on or of which nothing
 * was said (whoever switches lists what was switched), as long as that leaves one; a comb whose only possible owner runs on keeps it (it may have stopped by itself, or hang on the
 * switched supply unknown to the register). Then an entry that is the only owner left of one comb owns no other.
 */
export function ownersBySwitching(combs: readonly CombView[], captures: readonly SwitchedCapture[]): OwnersAfter[] {
  const after = combs.map((view, c) => {
    let owners = [...view.owners];
    const excluded: { source: string; file: string; because: 'stayed' | 'went' }[] = [];
    const wentWith: { file: string; sources: string[] }[] = [];
    for (const { file, fates, statusThere } of captures) {
      if (fates[c]!.is !== 'continues') continue;
      for (const source of owners.filter((owner) => statusThere(owner) === 'off'))
        excluded.push({ source, file, because: 'stayed' });
      owners = owners.filter((owner) => statusThere(owner) !== 'off');
    }
    const isRefuted = view.owners.length > 0 && owners.length === 0;
    for (const { file, fates, statusThere } of captures) {
      if (fates[c]!.is !== 'gone') continue;
      const off = owners.filter((owner) => statusThere(owner) === 'off');
      if (off.length === 0) continue;
      wentWith.push({ file, sources: off });
      const running = owners.filter((owner) => statusThere(owner) === 'on' || statusThere(owner) === 'unsaid');
      for (const source of running) excluded.push({ source, file, because: 'went' });
      owners = owners.filter((owner) => !running.includes(owner));
    }
    return { owners, excluded, wentWith, isRefuted };
  });
  // An entry owns one comb at most: what switching gave it, no other comb keeps.
  const given = new Map<string, number>();
  after.forEach(({ owners, wentWith, excluded }, c) => {
    if (owners.length === 1 && (wentWith.length > 0 || excluded.length > 0)) given.set(owners[0]!, c);
  });
  return after.map((entry, c) => {
    const others = entry.owners.filter((owner) => (given.get(owner) ?? c) === c);
    return others.length === 0 ? entry : { ...entry, owners: others };
  });
}
