import type { CaptureSettings } from '../../model/capture.ts';
import type { Floor } from '../../model/floor.ts';
import { exponentialIntegral } from '../numeric/exponential-integral.ts';
import { largestExponential, largestNormal } from '../numeric/largest-of-many.ts';

/**
 * What averaging, holding or peak detection makes of a steady line in noise, and the way back.
 *
 * A line of power S in noise of mean power 1 reads 1 + S only where powers are averaged. Averaged decibels read ln S + E₁(S)
 * nepers (exact); the largest of M looks reads about S + √(2S)·e + …, e the mean of the largest of M normal variates.
 */
export interface LineLaw {
  /** 1 + S for a level over the mean noise power in dB; what lies below the trace's own noise is a plain power ratio to it. */
  readonly ratioOf: (overMeanDb: number) => number;
  /** Variance of that ratio at a line of power `signal`. */
  readonly variance: (signal: number) => number;
  /** True where the trace keeps the largest of its sweeps and averages none: what wanders or beats between sweeps does not average out. */
  readonly held: boolean;
  /**
   * Doubt of the mean noise power under the trace, dB, where that is inferred from how the trace scatters. It is the doubt of how many
   * looks were kept the largest of, and a line of power S shares it as 1/√S, which is how far the largest look carries it.
   */
  readonly meanDoubtDb: number;
  /**
   * Square of the correlation of neighbouring points on a strong line, of how the levels of a trace without a line are correlated. Where
   * sweeps are averaged that is the correlation of the noise's power.
   */
  readonly powerCorrelation: (ofLevels: number) => number;
}

/** Doubt of the mean under the largest of a stated number of sweeps, and of one inferred from the scatter of peak-detected noise, dB. Found on simulated sweeps. */
const STATED_MEAN_DOUBT_DB = 0.1;
const INFERRED_MEAN_DOUBT_DB = 0.3;
/** … where sweeps are held whose points were peak-detected: two unknowns, one scatter. Found on simulated sweeps. */
const TWICE_HELD_MEAN_DOUBT_DB = 2;

const DB = 10 / Math.LN10;
/** Skewness of the logarithm of an exponential variate, 2·ζ(3)/(π²/6)^1.5 (exact; the sign is that of a lean downwards). */
const LOG_SKEWNESS = 1.1395;
const asIs = (correlation: number): number => correlation;
const TABLE_STEP_DB = 0.02;
const TABLE_TOP_DB = 90;

export function lineLaw(settings: CaptureSettings, floor: Floor): LineLaw {
  const { averaging } = settings;
  const looks = Math.max(0.5, floor.looks);
  if (averaging === 'log') {
    // one look of noise scatters by π/√6 nepers, of which averaging leaves the trace's spread
    const rough = Math.max(1, ((Math.PI / Math.sqrt(6)) * (DB / Math.max(floor.pointSpreadDb, 0.01))) ** 2);
    // the floor's spread is the lower side; decibels of noise lean down by a skewness of −1.14/√K, which puts the median up by a sixth of that
    const sweeps = rough * (1 + LOG_SKEWNESS / 6 / Math.sqrt(rough)) ** 2;
    const held = heldLooks(floor, (m) => DB * largestExponential(m).meanLog);
    if (held > 1.2) {
      const swept = Math.max(1, ((largestExponential(held).sdLog * DB) / Math.max(floor.pointSpreadDb, 0.01)) ** 2);
      return {
        ...heldLaw(held, looks, swept, floor.medianOverMeanDb, true),
        meanDoubtDb: INFERRED_MEAN_DOUBT_DB,
        powerCorrelation: asIs,
      };
    }
    return {
      ratioOf: inverted((s) => DB * (Math.log(s) + exponentialIntegral(s)), floor.medianOverMeanDb),
      variance: (s) => (Math.PI ** 2 / 6 + 2 * s) / sweeps,
      held: false,
      meanDoubtDb: 0,
      powerCorrelation: powerCorrelationOfLogs,
    };
  }
  if (floor.medianOverMeanDb > 0.3) {
    const averages = averaging === 'power' ? Math.max(1, settings.averages ?? 1) : 1;
    const held =
      averages > 1
        ? heldLooks(floor, (m) => 10 * Math.log10(largestExponential(m).mean))
        : heldLooks(floor, (m) => 10 * Math.log10(-Math.log(-Math.expm1(Math.log(0.5) / m))));
    const peaked =
      settings.detector === 'positive-peak' || settings.detector === 'quasi-peak' || settings.detector === 'normal';
    const meanDoubtDb =
      averages > 1 ? INFERRED_MEAN_DOUBT_DB : peaked ? TWICE_HELD_MEAN_DOUBT_DB : STATED_MEAN_DOUBT_DB;
    return {
      ...heldLaw(held, looks, averages, floor.medianOverMeanDb, averages === 1),
      meanDoubtDb,
      powerCorrelation: averages === 1 ? heldCorrelation : asIs,
    };
  }
  return {
    ratioOf: (db) => 10 ** (db / 10),
    variance: (s) => (1 + 2 * s) / looks,
    held: false,
    meanDoubtDb: 0,
    powerCorrelation: asIs,
  };
}

/** The largest of sweeps hides part of what neighbours share, on a line less of it than in noise: c^¾ there of c here, found on simulated sweeps (12 to 40). */
const heldCorrelation = (ofLevels: number): number => ofLevels ** 1.5;

/**
 * Correlation of two powers whose logarithms are correlated as given. Logarithms of exponential variates with correlation ρ of the powers
 * are correlated by Li₂(ρ)/ζ(2) = 6/π²·Σ ρᵏ/k² (exact, averaging changes nothing in it).
 */
function powerCorrelationOfLogs(ofLogs: number): number {
  const logs = (rho: number): number => {
    let sum = 0;
    for (let k = 1, power = rho; k < 200 && power > 1e-9; k++, power *= rho) sum += power / k ** 2;
    return sum / (Math.PI ** 2 / 6);
  };
  let low = 0;
  let high = 0.99;
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (logs(middle) < ofLogs) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The number of looks whose largest reads as far over the mean power as the floor says the trace does; 1 … 1e4. */
function heldLooks(floor: Floor, levelDb: (looks: number) => number): number {
  let low = 0;
  let high = Math.log(1e4);
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (levelDb(Math.exp(middle)) < floor.medianOverMeanDb) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** The largest of `held` looks, of which `averages` are averaged (as decibels where `asDecibels`). */
function heldLaw(
  held: number,
  noiseLooks: number,
  averages: number,
  noiseDb: number,
  asDecibels: boolean,
): Omit<LineLaw, 'meanDoubtDb' | 'powerCorrelation'> {
  const normal = largestNormal(held);
  const noise = largestExponential(held);
  const far = (normal.mean ** 2 + normal.sd ** 2 + 1) / 2;
  // exact without a line and far above the noise; within 0.1 dB between (simulated)
  const mean = (s: number): number =>
    s + (Math.sqrt(2 * s) * normal.mean * s) / (s + 0.25) + far + (noise.mean - far) / (1 + s / 2);
  const sd = (s: number): number => normal.sd * Math.sqrt(2 * s) + Math.min(noise.sd, 0.9);
  return {
    ratioOf: inverted((s) => {
      const m = mean(s);
      return 10 * Math.log10(m) - (asDecibels ? (DB * (sd(s) / m) ** 2) / 2 : 0);
    }, noiseDb),
    variance: (s) =>
      Math.max(1 / noiseLooks, (sd(s) / (1 + normal.mean / Math.sqrt(2 * Math.max(s, 0.1)))) ** 2 / averages),
    held: averages === 1,
  };
}

/** The way back from a rising law by a table over level. Above its top a line reads itself. */
function inverted(levelDb: (signal: number) => number, noiseDb: number): (overMeanDb: number) => number {
  const count = Math.max(2, Math.ceil((TABLE_TOP_DB - noiseDb) / TABLE_STEP_DB) + 1);
  const table = new Float64Array(count);
  // walk up in signal, filling the table between the levels met
  let signal = 1e-3;
  let below = { level: noiseDb, signal: 0 };
  let next = 0;
  while (next < count) {
    const level = levelDb(signal);
    while (next < count && noiseDb + next * TABLE_STEP_DB <= level) {
      const share = (noiseDb + next * TABLE_STEP_DB - below.level) / Math.max(level - below.level, 1e-12);
      table[next++] = 1 + below.signal + Math.min(1, Math.max(0, share)) * (signal - below.signal);
    }
    if (level > below.level) below = { level, signal };
    signal *= 1.02;
  }
  const top = table[count - 1]!;
  const topDb = noiseDb + (count - 1) * TABLE_STEP_DB;
  return (db) => {
    if (!(db > noiseDb)) return 10 ** ((db - noiseDb) / 10);
    if (db >= topDb) return top * 10 ** ((db - topDb) / 10);
    const at = (db - noiseDb) / TABLE_STEP_DB;
    const i = Math.min(count - 2, Math.floor(at));
    return table[i]! + (at - i) * (table[i + 1]! - table[i]!);
  };
}
