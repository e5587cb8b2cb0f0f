import type { Band } from '../../model/band.ts';
import type { Comb } from '../../model/comb.ts';
import type { Condition } from '../../model/condition.ts';
import type { LineExplanation } from '../../model/attribution.ts';
import type { LineFamily, SpreadEstimate } from '../../model/line-family.ts';
import type { Source } from '../../model/source.ts';
import type { Spur } from '../../model/spur.ts';
import { bandImages } from './band-images.ts';
import { findBeats } from './find-beats.ts';
import { findFolds } from './find-folds.ts';
import { findSidebands } from './find-sidebands.ts';
import type { Found } from './found.ts';
import { FreeLines } from './free-lines.ts';
import { estimateSpreads, nameHumps } from './name-humps.ts';
import { runningRanges } from './running-ranges.ts';
import { subjectsOf } from './subjects.ts';

export interface MixingInput {
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly sources: readonly Source[];
  readonly sourcesOff: readonly string[];
  readonly bands: readonly Band[];
  readonly condition: Condition | null;
  /** Axis that the spurs index into. */
  readonly frequencyHz: Float64Array;
  readonly lineWidthHz: number;
  readonly claimChance: number;
  readonly matchSigma: number;
  readonly axisPpm: number;
}

export interface MixingResult {
  /** Parallel to the spurs. */
  readonly explanations: readonly LineExplanation[];
  readonly families: readonly LineFamily[];
  /** Those given, less what were fits to the rough tops of humps, and the combs of modulated sources that their humps tell. */
  readonly combs: readonly Comb[];
  readonly spreads: readonly SpreadEstimate[];
}

/** Families said of one capture at most. */
const MOST_FAMILIES = 24;

/**
 * Explains what attribution leaves: humps of modulated sources that widen with their harmonic number, then lines that are no harmonics: beats,
 * sidebands, and harmonics that a receiver's sampling or oscillator put elsewhere.
 *
 * Only lines that nothing else explains are explained here, and only where better than chance: of the best family of each kind the best
 * is taken, its chance times the number of kinds tried, its lines are set aside and the rest is judged again.
 */
export function explainMixing(input: MixingInput): MixingResult {
  const { spurs, frequencyHz, lineWidthHz, matchSigma } = input;
  const explanations = [...input.explanations];
  const families: LineFamily[] = [];
  if (spurs.length === 0) return { explanations, families, combs: input.combs, spreads: [] };
  const lines = new FreeLines(spurs, explanations, frequencyHz, lineWidthHz, matchSigma);
  const ranges = runningRanges(input.sources, input.sourcesOff, input.axisPpm);
  let combs = [...input.combs];
  const humped = new Map<string, SpreadEstimate>();
  for (;;) {
    const open = ranges.filter(({ name }) => !humped.has(name));
    const found = nameHumps(lines, explanations, open, input.claimChance);
    if (found === null) break;
    humped.set(found.comb.source!, found.spread);
    const own = new Set(found.lines.map(({ line }) => line));
    const given = combs.filter((comb) => comb.source === found.comb.source || isOfHumps(comb, explanations, own));
    for (const comb of given) unexplain(explanations, comb);
    combs = [...combs.filter((comb) => !given.includes(comb)), found.comb];
    for (const { line, explanation } of found.lines) explanations[line] = explanation;
    lines.renew(explanations);
  }
  const claimed = new Set(combs.flatMap((comb) => (comb.source === null ? comb.couldAlsoBe : [comb.source])));
  const subjects = subjectsOf(combs);
  // before folded lines, whose width is not that of their place, get names
  const register = new Map(input.sources.map(({ designator, spreadPpm }) => [designator, spreadPpm]));
  const spreads = [
    ...humped.values(),
    ...estimateSpreads(lines, explanations, register).filter(({ source }) => !humped.has(source)),
  ];
  const waiting = ranges.filter(({ name }) => !claimed.has(name));
  const bands = bandImages(input.bands, input.condition, lines.spanLowHz, lines.spanHighHz);
  const kinds = 2 + (bands.length > 0 ? 1 : 0);
  while (families.length < MOST_FAMILIES) {
    const found = [
      findSidebands({ lines, explanations, subjects, ranges }),
      findBeats(lines, subjects),
      findFolds({ lines, bands, subjects, sources: waiting }),
    ].filter((one): one is Found => one !== null);
    if (found.length === 0) break;
    const best = found.reduce((a, b) => (b.chance < a.chance ? b : a));
    const counted = Math.min(1, kinds * best.chance);
    if (counted >= input.claimChance) break;
    families.push(best.family(counted));
    for (const { line, explain } of best.lines) explanations[line] = explain(counted);
    lines.take(best.lines.map(({ line }) => line));
  }
  return { explanations, families, combs, spreads };
}

/** Share of a comb's lines in humps that shows it to be a fit to their rough tops. A choice of this tool. */
const MOSTLY = 0.6;

/** Is a claimed comb no more than peaks of these humps? */
function isOfHumps(comb: Comb, explanations: readonly LineExplanation[], humps: ReadonlySet<number>): boolean {
  let all = 0;
  let inside = 0;
  for (const [line, explanation] of explanations.entries()) {
    if (!isGiven(explanation, comb)) continue;
    all++;
    if (humps.has(line)) inside++;
  }
  return all > 0 && inside >= MOSTLY * all;
}

function isGiven({ cause, candidates }: LineExplanation, { source, couldAlsoBe, chance }: Comb): boolean {
  if (cause === 'unexplained') return false;
  return candidates.some(
    (one) =>
      one.chance === chance && (one.source === source || (one.source !== null && couldAlsoBe.includes(one.source))),
  );
}

function unexplain(explanations: LineExplanation[], comb: Comb): void {
  for (const [line, explanation] of explanations.entries())
    // a line that another comb explains too keeps that
    if (isGiven(explanation, comb) && explanation.candidates.every(({ chance }) => chance === comb.chance))
      explanations[line] = {
        cause: 'unexplained',
        candidates: [],
        why: 'No comb, of the register or unknown, has a harmonic here, once the humps of a modulated source are told.',
      };
}
