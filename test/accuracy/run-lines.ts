import { attribute, type AttributionResult } from '../../src-main/engine/attribution/attribute.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { lineCase, type LineCase, type LineKind } from './cases/line-case.ts';
import { NULL_LEVELS, type NullRow } from './run-null.ts';

export function attributeLineCase(subject: LineCase, claimChance: number): AttributionResult {
  return attribute({
    spurs: subject.spurs,
    frequencyHz: subject.frequencyHz,
    rbwHz: subject.rbwHz,
    sparse: false,
    sources: subject.sources,
    sourcesOff: [],
    claimChance,
    matchSigma: DEFAULT_TRIAGE_SETTINGS.matchSigma,
    axisPpm: 1,
  });
}

/** Smallest chance of each entry that any comb is given or could be given to. */
function chancesOf(subject: LineCase): ReadonlyMap<string, number> {
  const chances = new Map<string, number>();
  for (const comb of attributeLineCase(subject, 0.1).combs)
    for (const name of comb.source === null ? comb.couldAlsoBe : [comb.source, ...comb.couldAlsoBe])
      chances.set(name, Math.min(comb.chance, chances.get(name) ?? 1));
  return chances;
}

/** The line-level null and power: how often anything is claimed at chance below a level, and how often what runs is. */
export function runLineNull(
  kind: LineKind,
  captures: number,
  firstSeed: number,
  onClaim: (seed: number, source: string, chance: number) => void = () => {},
): NullRow[] {
  const smallest: number[] = [];
  const ofRunning: number[] = [];
  for (let i = 0; i < captures; i++) {
    const chances = chancesOf(lineCase(firstSeed + i, kind));
    smallest.push(Math.min(1, ...chances.values()));
    for (const [source, chance] of chances) if (chance < 0.01) onClaim(firstSeed + i, source, chance);
    if (i % 5 !== 0) continue;
    const subject = lineCase(firstSeed + i, kind, true);
    if (subject.running === null || subject.running.teeth < 4) continue;
    ofRunning.push(chancesOf(subject).get(subject.running.designator) ?? 1);
  }
  return NULL_LEVELS.map((level) => ({
    kind,
    level,
    captures,
    claimed: smallest.filter((chance) => chance < level).length,
    power: ofRunning.filter((chance) => chance < level).length,
    powerOf: ofRunning.length,
  }));
}
