import type { Comb } from '../../model/comb.ts';
import type { DriftEstimate } from '../../model/evidence.ts';
import type { EvidenceSettings } from '../../model/evidence-settings.ts';
import type { Source } from '../../model/source.ts';
import { formatDecimal, formatSigned, formatWithDoubt } from '../../units/format.ts';
import { studentTwoSided } from '../numeric/student-quantile.ts';

/** What one capture adds to a drift: its temperature and its combs. */
export interface DriftCapture {
  readonly file: string;
  readonly temperatureC: number;
  /** Captures of one group differ in nothing that is known to move a source but temperature: same state, mode, load, sources on. */
  readonly group: string;
  readonly combs: readonly Comb[];
  /** Accuracy of the frequency axis, relative: two captures' axes may differ by it. */
  readonly axis: number;
}

interface Point {
  readonly temperatureC: number;
  readonly group: string;
  readonly frequencyHz: number;
  readonly relativeSigma: number;
  readonly file: string;
}

export interface Slope {
  readonly ppmPerK: number;
  readonly sigmaPpmPerK: number;
  readonly degrees: number;
}

/**
 * Relative slope of a frequency over temperature, in ppm/K: weighted least squares of y = 10⁶·(f/f̄ − 1) on T, f̄ the mean of its group, with an
 * offset for each group (so that a change of build or load between groups is no drift).
 *
 * Weights are 1/(σ_f² + (slope·σ_T)²), the slope taken from the round before (effective variance; two rounds). Where degrees of freedom
 * are left, the standard error is widened by √(χ²/degrees) if that is above 1: then the source wanders by more than its fits
 * know (Bevington & Robinson, Data Reduction, chapter 6, from memory). Null with fewer than two temperatures in every group.
 */
export function driftSlope(points: readonly Point[], temperatureSigmaC: number): Slope | null {
  const groups = [...new Set(points.map((point) => point.group))];
  const meanOf = new Map(
    groups.map((group) => {
      const own = points.filter((point) => point.group === group);
      return [group, own.reduce((sum, point) => sum + point.frequencyHz, 0) / own.length];
    }),
  );
  const y = points.map((point) => 1e6 * (point.frequencyHz / meanOf.get(point.group)! - 1));
  let slope = 0;
  let variance = Infinity;
  let chi2 = 0;
  for (let round = 0; round < 3; round++) {
    const w = points.map((point) => 1 / ((1e6 * point.relativeSigma) ** 2 + (slope * temperatureSigmaC) ** 2 + 1e-12));
    let sxx = 0;
    let sxy = 0;
    const centred = points.map(() => ({ x: 0, y: 0 }));
    for (const group of groups) {
      const own = [...points.keys()].filter((i) => points[i]!.group === group);
      const sum = own.reduce((total, i) => total + w[i]!, 0);
      const meanX = own.reduce((total, i) => total + w[i]! * points[i]!.temperatureC, 0) / sum;
      const meanY = own.reduce((total, i) => total + w[i]! * y[i]!, 0) / sum;
      for (const i of own) {
        centred[i] = { x: points[i]!.temperatureC - meanX, y: y[i]! - meanY };
        sxx += w[i]! * centred[i].x ** 2;
        sxy += w[i]! * centred[i].x * centred[i].y;
      }
    }
    if (!(sxx > 1e-9 * w.reduce((a, b) => a + b, 0))) return null;
    slope = sxy / sxx;
    variance = 1 / sxx;
    chi2 = centred.reduce((total, at, i) => total + w[i]! * (at.y - slope * at.x) ** 2, 0);
  }
  const degrees = points.length - groups.length - 1;
  const widened = degrees > 0 ? Math.max(1, chi2 / degrees) : 1;
  return { ppmPerK: slope, sigmaPpmPerK: Math.sqrt(variance * widened), degrees };
}

/**
 * The drift of every source that several captures show at different temperatures, sources in the register's order.
 *
 * All lines of a comb move by one ratio, so its fundamental stands for them. An estimate is offered to the register where at least three
 * captures over `driftRangeC` leave a degree of freedom, and the register says nothing yet or something else (by more than two standard
 * deviations). Sources whose drifts agree are named: parts of one type drift alike, and drift does not tell them apart.
 */
export function driftEstimates(
  captures: readonly DriftCapture[],
  sources: readonly Source[],
  settings: EvidenceSettings,
): DriftEstimate[] {
  const found = sources.flatMap((source) => {
    const points = captures.flatMap(({ file, temperatureC, group, combs, axis }): Point[] => {
      const comb = combs.find((entry) => entry.source === source.designator);
      if (comb === undefined) return [];
      const relativeSigma = Math.hypot(comb.fundamentalSigmaHz / comb.fundamentalHz, axis);
      return [{ temperatureC, group, frequencyHz: comb.fundamentalHz, relativeSigma, file }];
    });
    const temperatures = points.map((point) => point.temperatureC);
    const [lowC, highC] = [Math.min(...temperatures), Math.max(...temperatures)];
    if (points.length < 2 || highC - lowC < settings.driftRangeC) return [];
    const slope = driftSlope(points, settings.temperatureSigmaC);
    return slope === null ? [] : [{ source, points, slope, lowC, highC }];
  });
  return found.map(({ source, points, slope, lowC, highC }): DriftEstimate => {
    const { ppmPerK, sigmaPpmPerK, degrees } = slope;
    const sameAs = found
      .filter(
        (other) =>
          other.source !== source &&
          Math.abs(other.slope.ppmPerK - ppmPerK) <= 2 * Math.hypot(other.slope.sigmaPpmPerK, sigmaPpmPerK),
      )
      .map((other) => other.source.designator);
    const known = source.driftPpmPerK;
    const isNews = known === null || Math.abs(known - ppmPerK) > 2 * sigmaPpmPerK;
    const isOffered = degrees > 0 && isNews;
    return {
      source: source.designator,
      ppmPerK,
      sigmaPpmPerK,
      captures: points.map((point) => point.file),
      lowC,
      highC,
      degrees,
      registeredPpmPerK: known,
      sameAs,
      offer: isOffered ? { ...source, driftPpmPerK: rounded(ppmPerK, sigmaPpmPerK) } : null,
      sentence: sentenceOf(source, slope, points.length, lowC, highC, sameAs),
    };
  });
}

function sentenceOf(
  source: Source,
  { ppmPerK, sigmaPpmPerK, degrees }: Slope,
  captures: number,
  lowC: number,
  highC: number,
  sameAs: readonly string[],
): string {
  const moves = `${source.designator} moves by ${formatWithDoubt(ppmPerK, sigmaPpmPerK)} ppm/K`;
  const where = `from ${formatDecimal(lowC)} to ${formatDecimal(highC)} °C in ${captures} captures`;
  const sure =
    degrees > 0
      ? ` (95 %: ± ${formatDecimal(studentTwoSided(0.05, degrees) * sigmaPpmPerK, 1)})`
      : '; two captures do not show how far it wanders by itself, so the figure is not offered';
  const known =
    source.driftPpmPerK === null
      ? '; the register says nothing of it'
      : `; the register says ${formatSigned(source.driftPpmPerK, 0)} ppm/K`;
  const alike = sameAs.length === 0 ? '' : `; drift does not tell it from ${sameAs.join(', ')}`;
  return `${moves} ${where}${sure}${known}${alike}.`;
}

/** To the second digit of its uncertainty, as figures are printed. */
function rounded(value: number, sigma: number): number {
  const step = 10 ** (Math.floor(Math.log10(sigma)) - 1);
  return Number((Math.round(value / step) * step).toPrecision(12));
}
