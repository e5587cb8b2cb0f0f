import type { Random } from './random.ts';
import { filterReach, filterResponse, noiseTaps, type FilterKind } from './resolution-filter.ts';

/** How one oscillator wanders; all its lines wander together, by the same ratio. */
export interface Wander {
  /** Change over one sweep, first point to last, in parts per million; the middle of the sweep is at the nominal truth. */
  readonly driftPpm: number;
  /** Sweep-to-sweep scatter of the whole comb, one standard deviation in parts per million. */
  readonly jitterPpm: number;
  /** Peak-to-peak triangular frequency modulation, fast against a sweep and slow against the filter, parts per million. */
  readonly spreadPpm: number;
}

export const STEADY: Wander = { driftPpm: 0, jitterPpm: 0, spreadPpm: 0 };

/** A line at its true frequency in the middle of the sweep. */
export interface SweptLine {
  readonly frequencyHz: number;
  readonly levelDb: number;
  readonly wander: Wander;
}

export interface SweepSetup {
  readonly startHz: number;
  readonly spacingHz: number;
  readonly points: number;
  readonly rbwHz: number;
  readonly filter: FilterKind;
  /** Sweeps that are combined. */
  readonly sweeps: number;
  readonly combine: 'power' | 'log' | 'max-hold';
  /** Looks within the dwell of one point of which a peak detector keeps the largest; 1 for a sample detector. */
  readonly peakLooks: number;
  /** True: neighbouring points share noise through the filter's overlap. False: a sweep so slow that they do not. */
  readonly overlapping: boolean;
  /** Levels are written to this many dB; 0 for no rounding. */
  readonly roundDb: number;
}

/**
 * What a receiver with a resolution filter writes when it is tuned from point to point over lines and noise.
 *
 * In every sweep each line enters as a phasor A·H(tuning − line)·e^(jφ) with a phase of its own, the noise as a complex Gaussian
 * through the same filter; they add as amplitudes. Sweeps are then combined as powers, decibels or maxima.
 *
 * @param noiseDb mean noise power in the bandwidth at each point, dB
 * @returns level in dB at each point
 */
export function sweep(
  setup: SweepSetup,
  lines: readonly SweptLine[],
  noiseDb: Float64Array,
  random: Random,
): Float64Array {
  const { points, sweeps, peakLooks } = setup;
  const noiseAmplitude = noiseDb.map((db) => 10 ** (db / 20));
  const taps = setup.overlapping ? noiseTaps(setup.filter, setup.spacingHz / setup.rbwHz) : null;
  const pad = taps === null ? 0 : taps.re.length - 1;
  const whiteRe = new Float64Array(points + pad);
  const whiteIm = new Float64Array(points + pad);
  const lineRe = new Float64Array(points);
  const lineIm = new Float64Array(points);
  const power = new Float64Array(points);
  const combined = new Float64Array(points);
  const wanders = new Map<Wander, number>();
  for (const line of lines) wanders.set(line.wander, 0);
  const steady = lines.map((line) =>
    line.wander.jitterPpm === 0 && line.wander.spreadPpm === 0 ? footprint(setup, line, 0, 0, noiseDb) : null,
  );

  for (let k = 0; k < sweeps; k++) {
    for (const wander of wanders.keys()) wanders.set(wander, wander.jitterPpm * random.normal());
    lineRe.fill(0);
    lineIm.fill(0);
    lines.forEach((line, index) => {
      const print =
        steady[index] ??
        footprint(
          setup,
          line,
          wanders.get(line.wander)!,
          line.wander.spreadPpm === 0 ? 0 : random.between(-0.5, 0.5) * line.wander.spreadPpm,
          noiseDb,
        );
      if (print === null) return;
      const angle = 2 * Math.PI * random.uniform();
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      for (let i = 0; i < print.re.length; i++) {
        const a = print.re[i]!;
        const b = print.im[i]!;
        lineRe[print.first + i]! += a * c - b * s;
        lineIm[print.first + i]! += a * s + b * c;
      }
    });
    power.fill(0);
    for (let look = 0; look < peakLooks; look++) {
      random.fillComplexNormal(whiteRe, whiteIm);
      for (let i = 0; i < points; i++) {
        let re = whiteRe[i]!;
        let im = whiteIm[i]!;
        if (taps !== null) {
          re = 0;
          im = 0;
          const { re: h, im: g } = taps;
          for (let j = 0; j < h.length; j++) {
            re += h[j]! * whiteRe[i + j]!;
            im += h[j]! * whiteIm[i + j]!;
          }
          if (!taps.isReal)
            for (let j = 0; j < g.length; j++) {
              re -= g[j]! * whiteIm[i + j]!;
              im += g[j]! * whiteRe[i + j]!;
            }
        }
        re = noiseAmplitude[i]! * re + lineRe[i]!;
        im = noiseAmplitude[i]! * im + lineIm[i]!;
        const p = re * re + im * im;
        if (p > power[i]!) power[i] = p;
      }
    }
    if (setup.combine === 'power') for (let i = 0; i < points; i++) combined[i]! += power[i]!;
    else if (setup.combine === 'log') for (let i = 0; i < points; i++) combined[i]! += 10 * Math.log10(power[i]!);
    else for (let i = 0; i < points; i++) combined[i] = Math.max(combined[i]!, power[i]!);
  }
  return combined.map((sum) => {
    const db =
      setup.combine === 'power'
        ? 10 * Math.log10(sum / sweeps)
        : setup.combine === 'log'
          ? sum / sweeps
          : 10 * Math.log10(sum);
    return setup.roundDb === 0 ? db : Math.round(db / setup.roundDb) * setup.roundDb;
  });
}

interface Footprint {
  readonly first: number;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** The line's amplitude at the points that it reaches, down to a hundredth of the noise power. Null where it reaches none. */
function footprint(
  setup: SweepSetup,
  line: SweptLine,
  jitterPpm: number,
  modulationPpm: number,
  noiseDb: Float64Array,
): Footprint | null {
  const { startHz, spacingHz, points, rbwHz, filter } = setup;
  const frequencyHz = seenAtHz(setup, line.frequencyHz * (1 + 1e-6 * (jitterPpm + modulationPpm)), line.wander);
  const nearest = Math.round((frequencyHz - startHz) / spacingHz);
  const noise = noiseDb[Math.min(Math.max(nearest, 0), points - 1)]!;
  const reachHz = rbwHz * filterReach(filter, line.levelDb - noise + 20);
  const first = Math.max(0, Math.ceil((frequencyHz - reachHz - startHz) / spacingHz));
  const last = Math.min(points - 1, Math.floor((frequencyHz + reachHz - startHz) / spacingHz));
  if (last < first) return null;
  const amplitude = 10 ** (line.levelDb / 20);
  const re = new Float64Array(last - first + 1);
  const im = new Float64Array(last - first + 1);
  // drift makes the line move while the filter crosses it: an offset from the crossing counts as that much more or less
  const crossing = 1 - (1e-6 * line.wander.driftPpm * line.frequencyHz) / (spacingHz * (points - 1));
  for (let i = first; i <= last; i++) {
    const offset = ((frequencyHz - startHz - i * spacingHz) * crossing) / rbwHz;
    const response = filterResponse(filter, offset);
    re[i - first] = amplitude * response.re;
    im[i - first] = amplitude * response.im;
  }
  return { first, re, im };
}

/** Where a sweep crosses a drifting line: the frequency that equals the tuning at that moment. */
export function seenAtHz(
  { startHz, spacingHz, points }: Pick<SweepSetup, 'startHz' | 'spacingHz' | 'points'>,
  middleHz: number,
  wander: Wander,
): number {
  const spanHz = spacingHz * (points - 1);
  const rate = (1e-6 * wander.driftPpm * middleHz) / spanHz;
  // f = middle·(1 + drift·((f − start)/span − ½)), linear in f
  return (middleHz * (1 - 0.5e-6 * wander.driftPpm) - rate * startHz) / (1 - rate);
}
