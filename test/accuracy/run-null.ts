import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { nullCase, type NullKind } from './cases/null-case.ts';
import { triageOf } from './run-campaign.ts';

/** How often anything is claimed at chance below each level: where nothing registered runs, and where one source does. */
export interface NullRow {
  readonly kind: NullKind;
  readonly level: number;
  readonly captures: number;
  readonly claimed: number;
  /** Captures with one running source in which that source is claimed at this level, of as many. */
  readonly power: number;
  readonly powerOf: number;
}

export const NULL_LEVELS = [0.1, 0.01, 0.001] as const;

/** Most claims that a stated chance may give in so many captures: its expectation and three standard deviations. */
export function mostClaims(level: number, captures: number): number {
  return level * captures + 3 * Math.sqrt(level * (1 - level) * captures);
}

/** Triage with every claim up to chance 0.1 let through. */
function chancesOf(seed: number, kind: NullKind, running: boolean): ReadonlyMap<string, number> {
  const subject = nullCase(seed, kind, running);
  const triage = triageOf(subject, { ...DEFAULT_TRIAGE_SETTINGS, claimChance: 0.1 });
  const chances = new Map<string, number>();
  const note = (name: string, chance: number): void => {
    chances.set(name, Math.min(chance, chances.get(name) ?? 1));
  };
  for (const comb of triage.combs) {
    if (comb.source !== null) note(comb.source, comb.chance);
    for (const name of comb.couldAlsoBe) note(name, comb.chance);
  }
  return chances;
}

export function runNull(
  kind: NullKind,
  captures: number,
  firstSeed: number,
  onClaim: (seed: number, source: string, chance: number) => void = () => {},
): NullRow[] {
  const smallest: number[] = [];
  const ofRunning: number[] = [];
  const withPower = Math.ceil(captures / 10);
  for (let i = 0; i < captures; i++) {
    const chances = chancesOf(firstSeed + i, kind, false);
    smallest.push(Math.min(1, ...chances.values()));
    for (const [source, chance] of chances) if (chance < 0.01) onClaim(firstSeed + i, source, chance);
    if (i >= withPower) continue;
    const running = nullCase(firstSeed + i, kind, true).combs.find((comb) => comb.registered);
    if (running !== undefined) ofRunning.push(chancesOf(firstSeed + i, kind, true).get(running.name) ?? 1);
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
