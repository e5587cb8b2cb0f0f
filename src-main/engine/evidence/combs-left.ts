import type { Comb, SourceNotSeen } from '../../model/comb.ts';
import type { WeighedExplanation } from '../../model/evidence.ts';
import type { CombView } from './comb-view.ts';
import type { OwnersAfter } from './owners-by-switching.ts';

/** Combs as they stand once every line has its cause: without the lines that are not theirs, under the owner that switching left. */
export function combsLeft(
  combs: readonly Comb[],
  views: readonly CombView[],
  explanations: readonly WeighedExplanation[],
  after: readonly OwnersAfter[],
  notSeenAlone: readonly SourceNotSeen[],
): { combs: Comb[]; notSeen: SourceNotSeen[] } {
  const taken = combs.map(() => new Set<number>());
  explanations.forEach(({ cause, causeAlone }, i) => {
    const isElsewhere =
      cause === 'ambient' || cause === 'instrument' || (cause !== causeAlone && cause === 'unexplained');
    if (!isElsewhere) return;
    for (const [c, { lines }] of views.entries())
      for (const [harmonic, spur] of lines) if (spur === i) taken[c]!.add(harmonic);
  });
  const notSeen = [...notSeenAlone];
  const left = combs.flatMap((comb, c): Comb[] => {
    // a comb that nobody of the register could own is one, also where it comes from outside
    if (views[c]!.owners.length === 0) return [comb];
    const harmonicsSeen = comb.harmonicsSeen.filter((harmonic) => !taken[c]!.has(harmonic));
    // two lines are no comb: with one or none left nothing of it stands
    if (taken[c]!.size > 0 && harmonicsSeen.length < 2) {
      for (const source of comb.source === null ? comb.couldAlsoBe : [comb.source])
        notSeen.push({ source, reason: 'the lines that would be its comb are from outside or from the measuring kit' });
      return [];
    }
    const { owners, isRefuted, excluded } = after[c]!;
    if (isRefuted) {
      for (const { source } of excluded)
        notSeen.push({ source, reason: 'the comb that would be its own runs on while it is off' });
      return [{ ...comb, harmonicsSeen, source: null, couldAlsoBe: [] }];
    }
    const settled =
      owners.length === 1 && (comb.source !== null || after[c]!.wentWith.length > 0 || excluded.length > 0);
    return [
      settled
        ? { ...comb, harmonicsSeen, source: owners[0]!, couldAlsoBe: [] }
        : { ...comb, harmonicsSeen, couldAlsoBe: comb.source === null ? owners : comb.couldAlsoBe },
    ];
  });
  const claimed = new Set(left.flatMap((comb) => [comb.source, ...comb.couldAlsoBe]));
  const seen = new Set<string>();
  return {
    combs: left,
    notSeen: notSeen.filter(({ source }) => {
      if (claimed.has(source) || seen.has(source)) return false;
      seen.add(source);
      return true;
    }),
  };
}
