import type { LineExplanation } from '../../model/attribution.ts';
import type { Comb, SourceNotSeen } from '../../model/comb.ts';
import type { Source } from '../../model/source.ts';
import type { Spur } from '../../model/spur.ts';
import { rasterWarning, sayRasters, splitRasters } from './channel-raster.ts';
import { matchHarmonics, type SupportedComb } from './comb-support.ts';
import { findCoincidentSources } from './coincident-sources.ts';
import { explainLines } from './explain-lines.ts';
import { buildLineTable } from './line-table.ts';
import { addNearNominal } from './near-nominal.ts';
import { isExplained, partsOfOneSource, possibleOwners } from './ownership.ts';
import { dropUnneeded, selectCombs } from './select-combs.ts';
import { contextOf, unexplainedLines, type AcceptedComb } from './selection.ts';
import { settleFits } from './settle-fit.ts';
import { sourceRanges, type SourceRange } from './source-scopes.ts';
import { findUnknownCombs, unknownScope } from './unknown-combs.ts';

export interface AttributionInput {
  readonly spurs: readonly Spur[];
  /** Axis of the trace that the spurs index into. */
  readonly frequencyHz: Float64Array;
  readonly rbwHz: number | null;
  /** Point spacing exceeds the RBW: frequencies are only good to the spacing. */
  readonly sparse: boolean;
  readonly sources: readonly Source[];
  /** Designators stated to be off: not searched for. */
  readonly sourcesOff: readonly string[];
  readonly claimChance: number;
  readonly matchSigma: number;
  readonly axisPpm: number;
}

export interface AttributionResult {
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  readonly warnings: readonly string[];
}

/** Teeth closer than this many resolution bandwidths run into each other; no comb finer than that is claimed. */
const FINEST_COMB_RBW = 3;

/**
 * Names the lines of one capture: which source and harmonic each is, or that nobody knows.
 *
 * 1. All register entries compete for all lines; each is one fundamental within its tolerance, fitted to all its lines at once.
 * 2. Combs that no entry accounts for are sought among what is left.
 * 3. A source must still be needed with the unknown combs in place.
 * 4. Each comb gets the entries that could own it; each line the combs it fits.
 *
 * Nothing is claimed at a chance above `claimChance`. Empty lists of spurs or sources are fine.
 */
export function attribute(input: AttributionInput): AttributionResult {
  const atZero = zeroHertzSpurs(input);
  if (atZero.size === 0) return attributeLines(input);
  const result = attributeLines({ ...input, spurs: input.spurs.filter((spur) => !atZero.has(spur)) });
  const rest = result.explanations[Symbol.iterator]();
  return {
    ...result,
    explanations: input.spurs.map((spur) => (atZero.has(spur) ? ZERO_HERTZ : rest.next().value!)),
  };
}

const ZERO_HERTZ: LineExplanation = {
  cause: 'instrument',
  candidates: [],
  why: 'Stands at zero hertz, where every analyser shows its own oscillator or offset: no source of the build can be told there.',
};

/** Spurs at the very start of an axis that begins at 0 Hz, within three resolution bandwidths. */
function zeroHertzSpurs({ spurs, frequencyHz, rbwHz }: AttributionInput): Set<Spur> {
  if (frequencyHz.length < 2) return new Set();
  const spacingHz = frequencyHz[1]! - frequencyHz[0]!;
  if (Math.abs(frequencyHz[0]!) > spacingHz) return new Set();
  const reachHz = Math.max(2 * spacingHz, 3 * (rbwHz ?? spacingHz));
  return new Set(spurs.filter((spur) => spur.frequencyHz <= reachHz));
}

function attributeLines(input: AttributionInput): AttributionResult {
  const { frequencyHz, spurs } = input;
  const spanLowHz = frequencyHz[0]!;
  const spanHighHz = frequencyHz[frequencyHz.length - 1]!;
  const spacingHz = (spanHighHz - spanLowHz) / Math.max(1, frequencyHz.length - 1);
  const resolutionHz = Math.max(input.rbwHz ?? spacingHz, spacingHz);
  const lines = buildLineTable(spurs, frequencyHz, resolutionHz);
  const { matchSigma, claimChance } = input;
  const selection = { lines, matchSigma, claimChance, spanLowHz, spanHighHz, explained: new WeakMap() };

  const running = input.sources.filter((source) => !input.sourcesOff.includes(source.designator));
  const ranges = sourceRanges(running, Math.max(1, running.length), input.axisPpm);
  const finestHz = FINEST_COMB_RBW * resolutionHz;
  const searched = ranges.filter((range) => range.scope.lowHz >= finestHz && range.scope.lowHz <= spanHighHz);

  const selected = selectCombs(selection, searched, input.sparse ? null : unknownScope(selection, finestHz));
  const unknown = input.sparse ? [] : findUnknownCombs(selection, selected, finestHz);
  const competing = findCoincidentSources(selection, settleFits(selection, [...selected, ...unknown]), searched);
  dropUnneeded(selection, competing, Math.log10(input.claimChance));
  const { combs, rasters } = splitRasters(competing, input.axisPpm);

  const owners = possibleOwners(combs, searched);
  const partOf = partsOfOneSource(combs, owners);
  const settled = combs.map((comb, c) => isSettled(c, combs, owners, partOf, comb));
  const all = contextOf(selection, new Uint8Array(lines.count).fill(1));
  const free = contextOf(selection, unexplainedLines(selection, combs));
  const claimed = new Set(owners.flat().map((s) => searched[s]!.source.designator));
  const explanations = addNearNominal(
    sayRasters(explainLines(all, free, combs, owners, searched, settled, partOf), rasters),
    free,
    all,
    // one locked to a source whose comb is known has no freedom: it would have been found on its own lines
    ranges.filter(
      ({ source, root }) => !claimed.has(source.designator) && (root === source.designator || !claimed.has(root)),
    ),
  );

  const described = combs.flatMap((accepted, c): Comb[] => {
    if (partOf[c] !== c) return [];
    const { comb } = accepted;
    const seen = new Set<number>();
    let harmonicsExpected: number[] = [];
    // a source that wandered ran nowhere more exactly than its fits agree
    let apartHz = 0;
    for (const [d, part] of combs.entries()) {
      if (partOf[d] !== c) continue;
      apartHz = Math.max(apartHz, Math.abs(part.comb.fit.fundamentalHz - comb.fit.fundamentalHz));
      const { firstHarmonic, matches } = matchHarmonics(all, part.comb.fit, part.scope.maxHarmonic);
      const harmonics = Array.from(matches, (_, j) => firstHarmonic + j);
      if (d === c) harmonicsExpected = harmonics;
      for (const [j, line] of matches.entries()) if (line >= 0) seen.add(harmonics[j]!);
    }
    const names = owners[c]!.map((s) => searched[s]!.source.designator);
    const single = names.length === 1 && settled[c]!;
    return [
      {
        source: single ? names[0]! : null,
        fundamentalHz: comb.fit.fundamentalHz,
        fundamentalSigmaHz: Math.hypot(comb.fit.sigmaHz, apartHz / 2),
        harmonicsSeen: [...seen].sort((x, y) => x - y),
        harmonicsExpected,
        chance: 10 ** comb.log10Chance,
        couldAlsoBe: single ? [] : names,
      },
    ];
  });

  const notSeen = input.sources.flatMap((source): SourceNotSeen[] =>
    claimed.has(source.designator)
      ? []
      : [{ source: source.designator, reason: reasonNotSeen(source, input, ranges, finestHz, spanLowHz, spanHighHz) }],
  );
  return { explanations, combs: described, notSeen, warnings: rasters.map((raster) => rasterWarning(raster, lines)) };
}

/**
 * One entry with two combs in its range owns at most one of them. The claim stands for the comb that is far better supported
 * (three times the decades of chance); else neither is named.
 */
function isSettled(
  c: number,
  combs: readonly AcceptedComb[],
  owners: readonly (readonly number[])[],
  partOf: readonly number[],
  { comb }: { comb: SupportedComb },
): boolean {
  const own = owners[c]!;
  if (combs[c]!.found !== null && combs[c]!.halfOf !== undefined) return false;
  if (own.length !== 1) return true;
  return owners.every(
    (others, d) =>
      partOf[d] === partOf[c] ||
      isExplained(combs[d]!) ||
      !others.includes(own[0]!) ||
      comb.log10Chance <= 3 * combs[d]!.comb.log10Chance,
  );
}

function reasonNotSeen(
  source: Source,
  input: AttributionInput,
  ranges: readonly SourceRange[],
  finestHz: number,
  spanLowHz: number,
  spanHighHz: number,
): string {
  if (input.sourcesOff.includes(source.designator)) return 'stated to be off in this capture';
  const range = ranges.find((entry) => entry.source === source)!;
  const { lowHz, highHz, maxHarmonic } = range.scope;
  if (lowHz > spanHighHz) return 'its fundamental lies above the span';
  if (lowHz < finestHz)
    return `its teeth are closer than ${FINEST_COMB_RBW} resolution bandwidths and cannot be told apart`;
  const first = Math.ceil(spanLowHz / highHz);
  const last = Math.min(maxHarmonic, Math.floor(spanHighHz / lowHz));
  if (last < first) return 'no harmonic falls inside the span';
  return 'no fundamental in its tolerance explains more lines than chance would; its lines may lie below the floor';
}
