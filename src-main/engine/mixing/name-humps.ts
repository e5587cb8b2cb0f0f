import type { LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';
import type { SpreadEstimate } from '../../model/line-family.ts';
import { logPoissonBinomialTail } from '../numeric/binomial-tail.ts';
import type { FreeLines } from './free-lines.ts';
import type { RunningRange } from './running-ranges.ts';
import { chanceText, frequencyText, offsetText } from './say-mixing.ts';

/** A hump's width agrees with the modulation where it lies between these multiples of what is due. A choice of this tool: modulation shape, detector and RBW change a half-power width by that. */
const NARROWEST = 0.5;
const WIDEST = 1.8;
/** Humps run into each other where the swing reaches this share of their spacing. */
const MERGED = 0.5;
const HARMONICS = [3, 6, 12, 24];
const FEWEST_HUMPS = 3;
/** Widths of modulated lines below this many line widths tell the filter, not the modulation. */
const TELLS_SPREAD = 1.5;

/** The comb of a modulated source, found by its humps. */
export interface NamedHumps {
  readonly comb: Comb;
  readonly lines: readonly { readonly line: number; readonly explanation: LineExplanation }[];
}

/**
 * The modulated source whose harmonics fall on free lines and humps best: harmonic n of a source that sweeps by a share δ, peak to
 * peak, is n·f0·δ wide ("the bandwidth of the fundamental is multiplied by the harmonic number", data sheet of a spread-spectrum clock).
 *
 * Every free line and every harmonic it could be gives a fundamental (all such pairs are tries); harmonics up to where humps merge are judged
 * by centre and width together, against humps of a fitting width at random.
 *
 * @returns null where nothing is better than the given chance
 */
export function nameHumps(lines: FreeLines, ranges: readonly RunningRange[], claimChance: number): NamedHumps | null {
  const modulated = ranges.filter(({ source }) => (source.spreadPpm ?? 0) > 0);
  let best: { range: RunningRange; fit: Fit; logChance: number } | null = null;
  for (const range of modulated) {
    const share = 1e-6 * range.source.spreadPpm!;
    // the centre of the sweep may be half a swing off a nominal that means its end
    const lowHz = range.lowHz * (1 - share / 2);
    const highHz = range.highHz * (1 + share / 2);
    const most = Math.min(range.maxHarmonic, Math.floor(MERGED / share), Math.floor(lines.spanHighHz / lowHz));
    const anchors: { fundamentalHz: number; harmonic: number; line: number }[] = [];
    for (const line of lines.free) {
      const hz = lines.frequencyHz[line]!;
      for (let n = Math.max(1, Math.ceil(hz / highHz)); n <= Math.min(most, hz / lowHz); n++)
        if (fitsWidth(lines, line, dueWidth(lines, n * (hz / n) * share)))
          anchors.push({ fundamentalHz: hz / n, harmonic: n, line });
    }
    const tries = Math.max(1, anchors.length) * modulated.length * HARMONICS.length;
    for (const anchor of anchors)
      for (const size of HARMONICS) {
        const first = Math.max(1, Math.ceil(lines.spanLowHz / anchor.fundamentalHz));
        const last = Math.min(most, first + size - 1);
        if (anchor.harmonic > last) continue;
        const once = fitAt(lines, anchor.fundamentalHz, share, first, last, anchor.harmonic);
        if (once === null) continue;
        const fit = fitAt(lines, once.fundamentalHz, share, first, last, anchor.harmonic) ?? once;
        if (fit.hits.length < FEWEST_HUMPS || fit.fundamentalHz < lowHz || fit.fundamentalHz > highHz) continue;
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
  readonly hits: readonly { readonly harmonic: number; readonly line: number }[];
  readonly expected: readonly number[];
  readonly logTail: number;
}

function fitAt(
  lines: FreeLines,
  fundamentalHz: number,
  share: number,
  first: number,
  last: number,
  anchor: number,
): Fit | null {
  const hits: { harmonic: number; line: number }[] = [];
  const expected: number[] = [];
  const accidents: number[] = [];
  let others = 0;
  let weight = 0;
  let sum = 0;
  for (let n = first; n <= last; n++) {
    const hz = n * fundamentalHz;
    if (hz > lines.spanHighHz) break;
    const widthHz = dueWidth(lines, hz * share);
    const sigmaHz = Math.hypot(CENTRE_SHARE * widthHz, 0.03 * lines.lineWidthHz);
    const windowHz = lines.matchSigma * Math.SQRT2 * sigmaHz;
    const here = nearestFitting(lines, hz, windowHz, widthHz);
    if (here === -1 && lines.isCovered({ hz, sigmaHz: 0 })) continue;
    expected.push(n);
    // lines of a fitting width in the surroundings: a few spacings, so that no single gap decides
    const reachHz = Math.max(4 * fundamentalHz, 4 * windowHz);
    const from = Math.max(lines.spanLowHz, hz - reachHz);
    const to = Math.min(lines.spanHighHz, hz + reachHz);
    const near = lines.between(from, to).filter((line) => fitsWidth(lines, line, widthHz)).length;
    if (n !== anchor) accidents.push(Math.min(0.95, -Math.expm1((-2 * windowHz * Math.max(near, 1)) / (to - from))));
    if (here === -1) continue;
    hits.push({ harmonic: n, line: here });
    if (n !== anchor) others++;
    const w = (n / lines.sigmaHz[here]!) ** 2;
    weight += w;
    sum += (w * lines.frequencyHz[here]!) / n;
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

/** The centre of a hump is known to about a tenth of its width, as in attribution. */
const CENTRE_SHARE = 0.1;

/** Half-power width that a swing makes behind the filter. */
function dueWidth(lines: FreeLines, swingHz: number): number {
  return Math.max(swingHz, lines.lineWidthHz);
}

function fitsWidth(lines: FreeLines, line: number, dueHz: number): boolean {
  const widthHz = Math.max(lines.spurs[line]!.widthHz, lines.lineWidthHz);
  return widthHz >= NARROWEST * dueHz && widthHz <= WIDEST * dueHz;
}

function nearestFitting(lines: FreeLines, hz: number, windowHz: number, widthHz: number): number {
  let best = -1;
  for (const line of lines.between(hz - windowHz, hz + windowHz))
    if (
      fitsWidth(lines, line, widthHz) &&
      (best === -1 || Math.abs(lines.frequencyHz[line]! - hz) < Math.abs(lines.frequencyHz[best]! - hz))
    )
      best = line;
  return best;
}

function named({ source, name }: RunningRange, fit: Fit, chance: number, lines: FreeLines): NamedHumps {
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
    lines: fit.hits.map(({ harmonic, line }) => {
      const predictedHz = harmonic * fit.fundamentalHz;
      const dueHz = dueWidth(lines, predictedHz * 1e-6 * source.spreadPpm!);
      return {
        line,
        explanation: {
          cause: 'source',
          candidates: [{ source: name, harmonic, predictedHz, predictedSigmaHz: harmonic * fit.sigmaHz, chance }],
          why: `Lies ${offsetText(lines.frequencyHz[line]! - predictedHz)} from harmonic ${harmonic} of ${name}, which is modulated, and is ${frequencyText(lines.spurs[line]!.widthHz)} wide where ${frequencyText(dueHz)} is due; ${fit.hits.length} such humps widen with their number, chance ${chanceText(chance)}.`,
        },
      };
    }),
  };
}

/**
 * How far a modulated source is seen to sweep: the widths of its lines, the filter's taken off in squares, over their frequencies. The mean
 * over lines, and its scatter; the half-power width of a swept line is the swing where the swing is wider than the filter.
 *
 * @param register the modulation each source states, null for none
 */
export function estimateSpreads(
  lines: FreeLines,
  explanations: readonly LineExplanation[],
  register: ReadonlyMap<string, number | null>,
): SpreadEstimate[] {
  const shares = new Map<string, number[]>();
  const narrowHz = new Map<string, number[]>();
  const lowestHz = new Map<string, number>();
  for (const [i, { cause, candidates }] of explanations.entries()) {
    const source = candidates[0]?.source ?? null;
    const { widthHz, frequencyHz } = lines.spurs[i]!;
    if (cause !== 'source' || source === null) continue;
    if (widthHz < TELLS_SPREAD * lines.lineWidthHz) {
      narrowHz.set(source, [...(narrowHz.get(source) ?? []), frequencyHz]);
      continue;
    }
    lowestHz.set(source, Math.min(lowestHz.get(source) ?? Infinity, frequencyHz));
    const share = Math.sqrt(widthHz ** 2 - lines.lineWidthHz ** 2) / frequencyHz;
    shares.set(source, [...(shares.get(source) ?? []), share]);
  }
  return [...shares].flatMap(([source, list]): SpreadEstimate[] => {
    // a modulated source is wide from some frequency on: a few wide lines among narrow ones are noise, or two lines in one
    const narrow = (narrowHz.get(source) ?? []).filter((hz) => hz > lowestHz.get(source)!).length;
    if (list.length < FEWEST_HUMPS || list.length < WIDE_SHARE * (list.length + narrow)) return [];
    const mean = list.reduce((sum, share) => sum + share, 0) / list.length;
    const scatter = Math.sqrt(list.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (list.length - 1));
    // widths that do not grow with frequency are something else
    if (scatter > 0.5 * mean) return [];
    return [
      {
        source,
        statedPpm: register.get(source) ?? null,
        estimatedPpm: 1e6 * mean,
        sigmaPpm: 1e6 * Math.hypot(scatter / Math.sqrt(list.length), WIDTH_DOUBT * mean),
        humps: list.length,
      },
    ];
  });
}

/** Share of a source's lines above its first wide one that must be wide too. A choice of this tool. */
const WIDE_SHARE = 0.7;
/** The half-power width of a swept line depends on the waveform of its modulation. A choice of this tool: a tenth. */
const WIDTH_DOUBT = 0.1;
