import type { CaptureSettings } from '../../../src-main/model/capture.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Coupling } from '../simulator/coupling.ts';
import type { Random } from '../simulator/random.ts';
import { seenAtHz, STEADY, sweep, type SweepSetup, type SweptLine, type Wander } from '../simulator/sweep.ts';
import { harmonicDbuV } from '../simulator/trapezoid.ts';
import type { AccuracyCase, Owner, TruthComb, TruthLine } from './case.ts';

/** Something that switches and so radiates a comb. */
export interface Emitter {
  readonly name: string;
  readonly registered: boolean;
  readonly fundamentalHz: number;
  readonly duty: number;
  readonly riseS: number;
  readonly coupling: Coupling;
  /** Height over the floor of its strongest line in the span. */
  readonly strongestOverFloorDb: number;
  readonly wander: Wander;
  /** Share of its lines that a coupling null removes. */
  readonly missing?: number;
  /** Level of the lines at odd multiples of half the fundamental, relative to their neighbours; null for none. */
  readonly halfLinesDb?: number | null;
  /** Fixed instead of `strongestOverFloorDb`: dB added to the waveform's dBµV, coupling included as it is. */
  readonly absoluteDb?: number;
}

/** A line from outside the build. */
export interface ForeignLine {
  readonly frequencyHz: number;
  readonly overFloorDb: number;
}

export interface CaseInput {
  readonly name: string;
  readonly seed: number;
  readonly setup: SweepSetup;
  /** Mean noise power in the bandwidth at a frequency, dB. */
  readonly floorDb: (frequencyHz: number) => number;
  readonly emitters: readonly Emitter[];
  readonly foreign: readonly ForeignLine[];
  readonly sources: readonly Source[];
  readonly settings: CaptureSettings;
  /** Error of the frequency axis: of its reference, and of its span about the middle. */
  readonly axis: { readonly referencePpm: number; readonly spanPpm: number };
  /** Scatter of each line's level about its due, one standard deviation in dB: what setting up again does. */
  readonly levelScatterDb?: number;
}

/** Lines weaker than this against the floor are left out of the sweep: they change the noise under them by less than 0.02 dB. */
const FAINTEST_DB = -25;

/** Runs the sweep over all emitters, foreign lines and noise, and notes the truth. */
export function buildCase(input: CaseInput, random: Random): AccuracyCase {
  const { setup, axis } = input;
  const stopHz = setup.startHz + setup.spacingHz * (setup.points - 1);
  const middleHz = (setup.startHz + stopHz) / 2;
  const onAxis = (frequencyHz: number): number => {
    const shifted = frequencyHz * (1 + 1e-6 * axis.referencePpm);
    return middleHz + (shifted - middleHz) * (1 + 1e-6 * axis.spanPpm);
  };
  const frequencyHz = Float64Array.from({ length: setup.points }, (_, i) => setup.startHz + i * setup.spacingHz);
  const noiseDb = frequencyHz.map(input.floorDb);

  const swept: SweptLine[] = [];
  const lines: TruthLine[] = [];
  const add = (trueHz: number, dueDb: number, owner: Owner, wander: Wander): void => {
    const levelDb = dueDb + (input.levelScatterDb === undefined ? 0 : input.levelScatterDb * random.normal());
    const middleOfSweepHz = onAxis(trueHz);
    const seenHz = seenAtHz(setup, middleOfSweepHz, wander);
    const overFloorDb = levelDb - input.floorDb(seenHz);
    if (overFloorDb < FAINTEST_DB) return;
    if (seenHz < setup.startHz - 3 * setup.rbwHz || seenHz > stopHz + 3 * setup.rbwHz) return;
    swept.push({ frequencyHz: middleOfSweepHz, levelDb, wander });
    const sharePpm = Math.hypot(wander.jitterPpm * 2.355, wander.spreadPpm);
    const driftPerRbw = Math.abs(wander.driftPpm) * 1e-6 * seenHz * (setup.rbwHz / (stopHz - setup.startHz));
    lines.push({ frequencyHz: seenHz, levelDb, overFloorDb, owner, smearHz: 1e-6 * sharePpm * seenHz + driftPerRbw });
  };

  for (const emitter of input.emitters)
    for (const tooth of teeth(emitter, setup.startHz, stopHz, input.floorDb, random))
      add(
        tooth.harmonic * emitter.fundamentalHz,
        tooth.levelDb,
        emitter.registered
          ? { kind: 'source', source: emitter.name, harmonic: tooth.harmonic }
          : { kind: 'comb', comb: emitter.name, harmonic: tooth.harmonic },
        emitter.wander,
      );
  for (const line of input.foreign)
    add(line.frequencyHz, line.overFloorDb + input.floorDb(line.frequencyHz), { kind: 'foreign' }, STEADY);
  lines.sort((a, b) => a.frequencyHz - b.frequencyHz);

  const combs: TruthComb[] = input.emitters.map((emitter) => ({
    name: emitter.name,
    registered: emitter.registered,
    fundamentalHz: emitter.fundamentalHz * (1 + 1e-6 * axis.referencePpm),
    bentPpm: Math.abs(emitter.wander.driftPpm) / 2 + Math.abs(axis.spanPpm),
  }));
  return {
    name: input.name,
    reception: receptionOf(setup),
    seed: input.seed,
    frequencyHz,
    levelDb: sweep(setup, swept, noiseDb, random),
    settings: input.settings,
    sources: input.sources,
    lines,
    combs,
    noiseDb,
    rbwHz: setup.rbwHz,
    spacingHz: setup.spacingHz,
    filter: setup.filter,
  };
}

function receptionOf({ combine, filter, peakLooks, spacingHz, rbwHz }: SweepSetup): string {
  return [combine, filter, ...(peakLooks > 1 ? ['peak'] : []), ...(spacingHz > rbwHz ? ['coarse'] : [])].join(' ');
}

/** The harmonics of one emitter in the span with their levels at the port, dB. */
function teeth(
  emitter: Emitter,
  startHz: number,
  stopHz: number,
  floorDb: (frequencyHz: number) => number,
  random: Random,
): { harmonic: number; levelDb: number }[] {
  const shift = emitter.absoluteDb ?? absoluteDbOf(emitter, startHz, stopHz, floorDb);
  return rawTeeth(emitter, startHz, stopHz)
    .filter(() => emitter.missing === undefined || !random.chance(emitter.missing))
    .map(({ harmonic, levelDb }) => ({ harmonic, levelDb: levelDb + shift }));
}

/** What must be added to an emitter's waveform and coupling for its strongest line to stand as high over the floor as it says. */
export function absoluteDbOf(
  emitter: Emitter,
  startHz: number,
  stopHz: number,
  floorDb: (frequencyHz: number) => number,
): number {
  const heights = rawTeeth(emitter, startHz, stopHz).map(
    ({ harmonic, levelDb }) => levelDb - floorDb(harmonic * emitter.fundamentalHz),
  );
  return emitter.strongestOverFloorDb - heights.reduce((most, height) => Math.max(most, height), -Infinity);
}

/** Harmonics in the span, levels as waveform and coupling give them. Those that vanish are left out. */
function rawTeeth(emitter: Emitter, startHz: number, stopHz: number): { harmonic: number; levelDb: number }[] {
  const { fundamentalHz, duty, riseS, coupling } = emitter;
  const step = emitter.halfLinesDb === undefined || emitter.halfLinesDb === null ? 1 : 0.5;
  const first = Math.max(step, Math.ceil(startHz / fundamentalHz / step) * step);
  const last = Math.min(3000, Math.floor(stopHz / fundamentalHz / step) * step);
  const wave = { amplitudeV: 1, frequencyHz: fundamentalHz, duty, riseS };
  const out: { harmonic: number; levelDb: number }[] = [];
  for (let n = first; n <= last; n += step) {
    const whole = Number.isInteger(n);
    const at = n * fundamentalHz;
    const raw = whole
      ? harmonicDbuV(wave, n)
      : Math.max(harmonicDbuV(wave, Math.floor(n)), harmonicDbuV(wave, Math.ceil(n))) + emitter.halfLinesDb!;
    const levelDb = raw + coupling(at);
    if (!Number.isFinite(levelDb)) continue;
    out.push({ harmonic: n, levelDb });
  }
  return out;
}
