import type { LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';
import type { SpreadEstimate } from '../../model/line-family.ts';
import { logPoissonBinomialTail } from '../numeric/binomial-tail.ts';
import type { FreeLines } from './free-lines.ts';
import { humpsOf, type Hump } from './humps.ts';
import type { RunningRange } from './running-ranges.ts';
import { chanceText, frequencyText, offsetText } from './say-mixing.ts';

/** A hump's width agrees with the modulation where it lies between these multiples of what is due. A choice of this tool: modulation shape, detector and RBW change a half-power width by that. */
const NARROWEST = 0.5;
const WIDEST = 1.5;
/** Humps run into each other where the swing reaches this share of their spacing. */
const MERGED = 0.5;
const HARMONICS = [3, 6, 12, 24];
/** So many humps, and so many of them wider than the filter, tell a modulated source. */
const FEWEST_HUMPS = 3;
/** Widths below this many line widths tell the filter, not the modulation. */
const TELLS_SPREAD = 1.5;
/** The half-power width of a swept line depends on the waveform of its modulation. A choice of this tool: a tenth. */
const WIDTH_DOUBT = 0.1;

/** The comb of a modulated source, found by its humps. */
export interface NamedHumps {
  readonly comb: Comb;
  readonly spread: SpreadEstimate;
  readonly lines: readonly { readonly line: number; readonly explanation: LineExplanation }[];
}

/**
 * The modulated source whose harmonics fall on humps best: harmonic n of a source that sweeps by a share δ, peak to peak, is n·f0·δ wide
 * ("the bandwidth of the fundamental is multiplied by the harmonic number", data sheet of a spread-spectrum clock).
 *
 * Every hump of a fitting width and every harmonic it could be gives a fundamental (all such pairs are tries); the harmonics up to where
 * humps merge are judged by centre and width together, against humps of a fitting width at random.
 *
 * @param ranges sources that may be named
 * @returns null where nothing is better than the given chance
 */
export function nameHumps(
  lines: FreeLines,
  explanations: readonly LineExplanation[],
  ranges: readonly RunningRange[],
  claimChance: number,
): NamedHumps | null {
  const modulated = ranges.filter(({ source }) => (source.spreadPpm ?? 0) > 0);
  let best: { range: RunningRange; fit: Fit; logChance: number } | null = null;
  for (const range of modulated) {
    const share = 1e-6 * range.source.spreadPpm!;
    const due = (hz: number): number => Math.max(hz * share, lines.lineWidthHz);
    const humps = humpsOf(lines, explanations, range.name, share).filter(
      ({ widthHz, centreHz }) => widthHz >= NARROWEST * due(centreHz) && widthHz <= WIDEST * due(centreHz),
    );
    // the middle of the sweep may be half a swing off a nominal that means its end
    const lowHz = range.lowHz * (1 - share / 2);
    const highHz = range.highHz * (1 + share / 2);
    const most = Math.min(range.maxHarmonic, Math.floor(MERGED / share), Math.floor(lines.spanHighHz / lowHz));
    const anchors = humps.flatMap(({ centreHz }) => {
      const out: { fundamentalHz: number; harmonic: number }[] = [];
      for (let n = Math.max(1, Math.ceil(centreHz / highHz)); n <= Math.min(most, centreHz / lowHz); n++)
        out.push({ fundamentalHz: centreHz / n, harmonic: n });
      return out;
    });
    const tries = Math.max(1, anchors.length) * modulated.length * HARMONICS.length;
    for (const anchor of anchors)
      for (const size of HARMONICS) {
        const first = Math.max(1, Math.ceil(lines.spanLowHz / anchor.fundamentalHz));
        const last = Math.min(most, first + size - 1);
        if (anchor.harmonic > last) continue;
        const once = fitAt(lines, humps, anchor.fundamentalHz, first, last, anchor.harmonic, due);
        if (once === null) continue;
        const fit = fitAt(lines, humps, once.fundamentalHz, first, last, anchor.harmonic, due) ?? once;
        const wide = fit.hits.filter(({ hump }) => hump.widthHz >= TELLS_SPREAD * lines.lineWidthHz);
        if (fit.hits.length < FEWEST_HUMPS || wide.length < FEWEST_HUMPS) continue;
        if (fit.fundamentalHz < lowHz || fit.fundamentalHz > highHz) continue;
        const logChance = fit.logTail + Math.log(tries);
        if (best === null || logChance < best.logChance) best = { range, fit, logChance };
      }
  }
  if (best === null || best.logChance >= Math.log(claimChance)) return null;
  return named(best.range, best.fit, Math.exp(best.logChance), lines);
}

interface Fit {
  readonly fundamentalHz: number;
  readonly sigmaHz: number;
  readonly hits: readonly { readonly harmonic: number; readonly hump: Hump }[];
  readonly expected: readonly number[];
  readonly logTail: number;
}

/** Matches humps to the harmonics of a fundamental, fits it to them, and says how often humps at random would match as many. */
function fitAt(
  lines: FreeLines,
  humps: readonly Hump[],
  fundamentalHz: number,
  first: number,
  last: number,
  anchor: number,
  due: (hz: number) => number,
): Fit | null {
  const hits: { harmonic: number; hump: Hump }[] = [];
  const expected: number[] = [];
  const accidents: number[] = [];
  let others = 0;
  let weight = 0;
  let sum = 0;
  for (let n = first; n <= last; n++) {
    const hz = n * fundamentalHz;
    if (hz > lines.spanHighHz) break;
    const windowHz = lines.matchSigma * 0.1 * due(hz);
    expected.push(n);
    // humps in the surroundings: a few spacings, so that no single gap decides
    const reachHz = Math.max(4 * fundamentalHz, 4 * windowHz);
    const from = Math.max(lines.spanLowHz, hz - reachHz);
    const to = Math.min(lines.spanHighHz, hz + reachHz);
    let near = 0;
    let hump: Hump | null = null;
    for (const one of humps) {
      if (one.centreHz < from || one.centreHz > to) continue;
      near++;
      const off = Math.abs(one.centreHz - hz);
      if (off <= windowHz && (hump === null || off < Math.abs(hump.centreHz - hz))) hump = one;
    }
    if (n !== anchor) accidents.push(Math.min(0.95, -Math.expm1((-2 * windowHz * Math.max(near, 1)) / (to - from))));
    if (hump === null) continue;
    hits.push({ harmonic: n, hump });
    if (n !== anchor) others++;
    const w = (n / Math.max(hump.sigmaHz, 0.1 * due(hz))) ** 2;
    weight += w;
    sum += (w * hump.centreHz) / n;
  }
  if (others === 0) return null;
  return {
    fundamentalHz: sum / weight,
    sigmaHz: 1 / Math.sqrt(weight),
    hits,
    expected,
    logTail: logPoissonBinomialTail(others, accidents),
  };
}

function named({ source, name }: RunningRange, fit: Fit, chance: number, lines: FreeLines): NamedHumps {
  const share = 1e-6 * source.spreadPpm!;
  return {
    comb: {
      source: name,
      fundamentalHz: fit.fundamentalHz,
      fundamentalSigmaHz: fit.sigmaHz,
      harmonicsSeen: fit.hits.map(({ harmonic }) => harmonic),
      harmonicsExpected: fit.expected,
      chance,
      couldAlsoBe: [],
    },
    spread: spreadOf(
      name,
      source.spreadPpm,
      fit.hits.map(({ hump }) => ({ hz: hump.centreHz, widthHz: hump.widthHz })),
      lines,
    )!,
    lines: fit.hits.flatMap(({ harmonic, hump }) =>
      hump.members.map((line) => {
        const predictedHz = harmonic * fit.fundamentalHz;
        // a peak of a rough hump lies anywhere in the swing
        const predictedSigmaHz = Math.hypot(harmonic * fit.sigmaHz, (predictedHz * share) / Math.sqrt(12));
        const part = hump.members.length === 1 ? '' : `, with ${hump.members.length - 1} more peaks,`;
        return {
          line,
          explanation: {
            cause: 'source' as const,
            candidates: [{ source: name, harmonic, predictedHz, predictedSigmaHz, chance }],
            why: `Lies${part} in a hump ${frequencyText(hump.widthHz)} wide, ${offsetText(hump.centreHz - predictedHz)} from harmonic ${harmonic} of ${name}, whose modulation makes it ${frequencyText(Math.max(predictedHz * share, lines.lineWidthHz))} there; ${fit.hits.length} humps widen with their number, chance ${chanceText(chance)}.`,
          },
        };
      }),
    ),
  };
}

function spreadOf(
  source: string,
  statedPpm: number | null,
  humps: readonly { readonly hz: number; readonly widthHz: number }[],
  { lineWidthHz }: FreeLines,
): SpreadEstimate | null {
  const wide = humps.filter(({ widthHz }) => widthHz >= TELLS_SPREAD * lineWidthHz);
  if (wide.length < FEWEST_HUMPS) return null;
  const shares = wide.map(({ hz, widthHz }) => Math.sqrt(widthHz ** 2 - lineWidthHz ** 2) / hz);
  const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
  const scatter = Math.sqrt(shares.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (shares.length - 1));
  // widths that do not grow with frequency are something else
  if (scatter > 0.5 * mean) return null;
  return {
    source,
    statedPpm,
    estimatedPpm: 1e6 * mean,
    sigmaPpm: 1e6 * Math.hypot(scatter / Math.sqrt(shares.length), WIDTH_DOUBT * mean),
    humps: shares.length,
  };
}

/** Share of a source's lines above its first wide one that must be wide too. A choice of this tool. */
const WIDE_SHARE = 0.7;

/**
 * How far sources are seen to sweep that attribution has named: the widths of their lines, the filter's taken off in squares, over
 * their frequencies. The mean over lines, and its scatter; the half-power width of a swept line is the swing where that is wider than the filter.
 *
 * @param register the modulation each source states, null for none
 */
export function estimateSpreads(
  lines: FreeLines,
  explanations: readonly LineExplanation[],
  register: ReadonlyMap<string, number | null>,
): SpreadEstimate[] {
  const found = new Map<string, { hz: number; widthHz: number }[]>();
  for (const [i, { cause, candidates }] of explanations.entries()) {
    const source = candidates[0]?.source ?? null;
    if (cause !== 'source' || source === null) continue;
    found.set(source, [...(found.get(source) ?? []), { hz: lines.frequencyHz[i]!, widthHz: lines.spurs[i]!.widthHz }]);
  }
  return [...found].flatMap(([source, all]): SpreadEstimate[] => {
    const wide = all.filter(({ widthHz }) => widthHz >= TELLS_SPREAD * lines.lineWidthHz);
    // a modulated source is wide from some frequency on: a few wide lines among narrow ones are noise, or two lines in one
    const above = all.filter(({ hz }) => hz >= (wide[0]?.hz ?? Infinity));
    if (wide.length < WIDE_SHARE * above.length) return [];
    const spread = spreadOf(source, register.get(source) ?? null, wide, lines);
    return spread === null ? [] : [spread];
  });
}
