import type { LineExplanation } from '../../../src-main/model/attribution.ts';
import type { Comb } from '../../../src-main/model/comb.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import type { AccuracyCase, Owner } from '../cases/case.ts';
import { lowerBound, type SpurMatch } from './score-spurs.ts';

export interface NameFault {
  readonly frequencyHz: number;
  readonly overFloorDb: number;
  readonly truth: string;
  readonly said: string;
}

/** How well lines are named; sums, so that captures can be added. */
export interface NameScore {
  /** Found clear lines of running register entries with five or more clear lines. */
  judged: number;
  right: number;
  /** Right and said to be one source, not ambiguous. */
  saidSource: number;
  /** Right or ambiguous where no other entry could own the comb. */
  onlyOwner: number;
  onlyOwnerSaidSource: number;
  /** Spurs named as one source that does not own them, among `judged` and among all spurs. */
  wrongJudged: number;
  wrong: number;
  named: number;
  /** Spurs that only foreign lines or unregistered combs make; said to be a source; and how many would lie on a tooth by accident. */
  foreign: number;
  foreignBlamed: number;
  foreignExpected: number;
  /** Combs nobody registered with eight or more clear lines; found within 20 ppm; and within their own 3σ. */
  unknownCombs: number;
  unknownFound: number;
  unknownInsideThree: number;
  /** Combs claimed without a source that are no true comb, nor a multiple of one. */
  unknownFalse: number;
  readonly faults: NameFault[];
}

/** Enough lines that a comb can be told at all. */
const JUDGED_LINES = 5;
const UNKNOWN_LINES = 8;

/**
 * Compares what is said of each spur with who owns it.
 *
 * Where lines of several owners fall within one bandwidth of a spur, any of them within 20 dB of the strongest is right.
 * Where another register entry's tolerance holds the same fundamental, or an entry locked to the owner's frequency has a harmonic
 * at the very same place, `ambiguous` with the owner among the candidates is right.
 */
export function scoreNames(
  subject: AccuracyCase,
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  combs: readonly Comb[],
  match: SpurMatch,
  matchSigma: number,
): NameScore {
  const score = emptyNameScore();
  const clearPerOwner = new Map<string, number>();
  subject.lines.forEach((line, i) => {
    if (line.owner.kind === 'foreign' || !match.surroundings[i]!.clear) return;
    const key = ownerName(line.owner);
    clearPerOwner.set(key, (clearPerOwner.get(key) ?? 0) + 1);
  });

  spurs.forEach((spur, j) => {
    const said = explanations[j]!;
    const owners = ownersAt(subject, spur.frequencyHz);
    const best = said.candidates[0];
    const isNamed = said.cause === 'source';
    const owns = (source: string | null, harmonic: number): boolean =>
      owners.some((owner) => owner.kind === 'source' && owner.source === source && owner.harmonic === harmonic);
    if (isNamed) score.named++;
    const isWrong = isNamed && best !== undefined && !owns(best.source, best.harmonic);
    if (isWrong) {
      score.wrong++;
      score.faults.push({
        frequencyHz: spur.frequencyHz,
        overFloorDb: spur.overFloorDb,
        truth: owners.length === 0 ? 'nothing' : owners.map(ownerText).join(' or '),
        said: `${best.source} × ${best.harmonic}`,
      });
    }
    if (owners.length > 0 && owners.every((owner) => owner.kind !== 'source')) {
      score.foreign++;
      if (isNamed) score.foreignBlamed++;
      score.foreignExpected += accident(subject, spur, matchSigma);
    }

    const i = match.lineOf[j]!;
    if (i === -1 || !match.surroundings[i]!.clear) return;
    const { owner } = subject.lines[i]!;
    if (owner.kind !== 'source' || clearPerOwner.get(owner.source)! < JUDGED_LINES) return;
    // a line at half a converter's frequency has no harmonic number of its own: only a wrong name counts against it
    if (!Number.isInteger(owner.harmonic)) {
      if (isWrong) score.wrongJudged++;
      return;
    }
    score.judged++;
    if (isWrong) score.wrongJudged++;
    const alternatives = alternativesOf(subject, owner.source, [1]);
    const among = said.candidates.some((candidate) => owns(candidate.source, candidate.harmonic));
    const isRight =
      (isNamed && !isWrong) ||
      (said.cause === 'shared' && among) ||
      (said.cause === 'ambiguous' &&
        among &&
        (alternatives > 0 ||
          lockedTwin(subject, owner.source, owner.harmonic) ||
          (best !== undefined && owns(best.source, best.harmonic))));
    if (isRight) {
      score.right++;
      if (isNamed) score.saidSource++;
      if (alternativesOf(subject, owner.source, [1, 1 / 2, 1 / 3, 2, 3]) === 0 && owners.length === 1) {
        score.onlyOwner++;
        if (isNamed) score.onlyOwnerSaidSource++;
      }
    } else if (!isWrong)
      score.faults.push({
        frequencyHz: spur.frequencyHz,
        overFloorDb: spur.overFloorDb,
        truth: ownerText(owner),
        said: `${said.cause}${best === undefined ? '' : ` ${best.source ?? 'unknown'} × ${best.harmonic}`}`,
      });
  });

  for (const comb of subject.combs) {
    if (comb.registered || (clearPerOwner.get(comb.name) ?? 0) < UNKNOWN_LINES) continue;
    score.unknownCombs++;
    const toleranceHz = comb.fundamentalHz * 1e-6 * (20 + comb.bentPpm);
    const found = combs.find(
      (claimed) => claimed.source === null && Math.abs(claimed.fundamentalHz - comb.fundamentalHz) <= toleranceHz,
    );
    if (found === undefined) {
      const named = combs.filter(
        (claimed) => Math.abs(claimed.fundamentalHz - comb.fundamentalHz) < 1e-3 * comb.fundamentalHz,
      );
      score.faults.push({
        frequencyHz: comb.fundamentalHz,
        overFloorDb: 0,
        truth: `unregistered comb of ${clearPerOwner.get(comb.name)} clear lines`,
        said:
          named.length === 0
            ? 'no comb'
            : named.map((claimed) => `${claimed.source} at ${claimed.fundamentalHz}`).join(),
      });
      continue;
    }
    score.unknownFound++;
    const bentHz = comb.fundamentalHz * 1e-6 * comb.bentPpm;
    if (Math.abs(found.fundamentalHz - comb.fundamentalHz) <= 3 * found.fundamentalSigmaHz + bentHz)
      score.unknownInsideThree++;
  }
  for (const claimed of combs) {
    // one that register entries could own is not claimed to be unknown
    if (claimed.source !== null || claimed.couldAlsoBe.length > 0) continue;
    const isTrue = subject.combs.some((comb) => {
      const ratio = claimed.fundamentalHz / comb.fundamentalHz;
      // multiples and simple fractions of a true comb are not a comb that is not there
      return [1, 2, 3, 0.5, 1.5].some((simple) => Math.abs(ratio / simple - 1) < 1e-6 * (50 + 3 * comb.bentPpm));
    });
    if (!isTrue) {
      score.unknownFalse++;
      score.faults.push({
        frequencyHz: claimed.fundamentalHz,
        overFloorDb: 0,
        truth: 'no such comb',
        said: `comb nobody registered, ${claimed.harmonicsSeen.length} of ${claimed.harmonicsExpected.length} teeth, chance ${claimed.chance.toExponential(1)}`,
      });
    }
  }
  return score;
}

/** All owners of lines within one bandwidth of a place, those more than 20 dB under the strongest left out. */
function ownersAt(subject: AccuracyCase, frequencyHz: number): Owner[] {
  const { lines, rbwHz, spacingHz } = subject;
  const reachHz = Math.max(rbwHz, spacingHz);
  const near = [];
  for (let i = lowerBound(lines, frequencyHz - reachHz); i < lines.length; i++) {
    if (lines[i]!.frequencyHz > frequencyHz + reachHz) break;
    if (lines[i]!.overFloorDb > -5) near.push(lines[i]!);
  }
  const strongest = Math.max(...near.map((line) => line.levelDb));
  return near.filter((line) => line.levelDb > strongest - 20).map((line) => line.owner);
}

/** How likely a line at this place lies within the matching window of some running entry's tooth by accident. */
function accident(subject: AccuracyCase, spur: Spur, matchSigma: number): number {
  const windowHz = 2 * matchSigma * Math.max(spur.frequencySigmaHz, 0.05 * subject.rbwHz);
  let free = 1;
  for (const comb of subject.combs) if (comb.registered) free *= 1 - Math.min(1, windowHz / comb.fundamentalHz);
  return 1 - free;
}

/** How many other register entries hold this comb's fundamental, times one of the ratios, in their tolerance. */
function alternativesOf(subject: AccuracyCase, designator: string, ratios: readonly number[]): number {
  const comb = subject.combs.find((one) => one.name === designator)!;
  return subject.sources.filter(
    (source) =>
      source.designator !== designator &&
      ratios.some((ratio) => {
        const [lowHz, highHz] = rangeOf(source, subject.sources);
        const at = comb.fundamentalHz * ratio;
        return at >= lowHz * (1 - 5e-6) && at <= highHz * (1 + 5e-6);
      }),
  ).length;
}

/** Does another entry, bound to the same oscillator, have a harmonic exactly where this one has? */
function lockedTwin({ sources }: AccuracyCase, designator: string, harmonic: number): boolean {
  const rootOf = (source: Source): string => source.lock?.to ?? source.designator;
  const ratioOf = ({ lock }: Source): number => (lock === null ? 1 : lock.numerator / lock.denominator);
  const own = sources.find((source) => source.designator === designator)!;
  return sources.some((other) => {
    if (other === own || rootOf(other) !== rootOf(own)) return false;
    const there = (harmonic * ratioOf(own)) / ratioOf(other);
    return Math.abs(there - Math.round(there)) < 1e-9 * harmonic;
  });
}

/** Where an entry may run. A locked one follows what it is locked to. */
function rangeOf(source: Source, sources: readonly Source[]): readonly [number, number] {
  if (source.lock !== null) {
    const master = sources.find((other) => other.designator === source.lock!.to);
    if (master !== undefined) {
      const [low, high] = rangeOf(master, sources);
      const ratio = source.lock.numerator / source.lock.denominator;
      return [low * ratio, high * ratio];
    }
  }
  const tolerance = 1e-6 * source.tolerancePpm!;
  return [source.nominalHz * (1 - tolerance), source.nominalHz * (1 + tolerance)];
}

function ownerName(owner: Owner): string {
  return owner.kind === 'source' ? owner.source : owner.kind === 'comb' ? owner.comb : 'foreign';
}

function ownerText(owner: Owner): string {
  return owner.kind === 'foreign' ? 'foreign' : `${ownerName(owner)} × ${owner.harmonic}`;
}

export function emptyNameScore(): NameScore {
  return {
    judged: 0,
    right: 0,
    saidSource: 0,
    onlyOwner: 0,
    onlyOwnerSaidSource: 0,
    wrongJudged: 0,
    wrong: 0,
    named: 0,
    foreign: 0,
    foreignBlamed: 0,
    foreignExpected: 0,
    unknownCombs: 0,
    unknownFound: 0,
    unknownInsideThree: 0,
    unknownFalse: 0,
    faults: [],
  };
}
