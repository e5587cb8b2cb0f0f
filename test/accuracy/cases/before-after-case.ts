import type { Source } from '../../../src-main/model/source.ts';
import { seededRandom, type Random } from '../simulator/random.ts';
import { STEADY, type SweepSetup } from '../simulator/sweep.ts';
import { absoluteDbOf, buildCase, type CaseInput, type Emitter } from './build-case.ts';
import type { AccuracyCase } from './case.ts';
import {
  clockEmitter,
  converterEmitter,
  plainSource,
  randomFloor,
  randomForeign,
  unregisteredHz,
} from './random-parts.ts';
import { statedSettings } from './stated-settings.ts';

/** What was done to one source between the two sides. */
export type Deed = 'nothing' | 'attenuated' | 'gone' | 'moved' | 'new';

export interface BeforeAfterCase {
  readonly seed: number;
  readonly before: readonly AccuracyCase[];
  readonly after: readonly AccuracyCase[];
  readonly sources: readonly Source[];
  /** By emitter name. */
  readonly deeds: ReadonlyMap<string, Deed>;
  /** The part of the span whose floor rose by 14 dB; null where none did. */
  readonly raised: { readonly lowHz: number; readonly highHz: number } | null;
}

/** What differs between the campaigns of comparisons. */
export interface BeforeAfterOptions {
  /** Deeds are done; false: the same state twice. */
  readonly deeds: boolean;
  /** Captures a side. */
  readonly repeats: number;
  /** Scatter of each line's level from capture to capture, one standard deviation in dB. */
  readonly levelScatterDb: number;
  /** Free-running sources wander by up to this from side to side, ppm. */
  readonly wanderPpm: number;
}

export const FIX_TRIED: BeforeAfterOptions = { deeds: true, repeats: 1, levelScatterDb: 0.4, wanderPpm: 500 };

/**
 * Two states of one build. In between one source is attenuated by 12 dB, one gone, one moved by 1–2 %, the floor of a part of
 * the span rises by 14 dB, and a comb appears that was not there; which of these happen is drawn by chance.
 */
export function beforeAfterCase(seed: number, options: BeforeAfterOptions = FIX_TRIED): BeforeAfterCase {
  const random = seededRandom(seed + 40_000_000);
  const rbwHz = random.pick([1e3, 3e3, 3e3, 5e3]);
  const points = random.integer(8_000, 24_000);
  const setup: SweepSetup = {
    startHz: Math.max(50e3, 20 * rbwHz),
    spacingHz: rbwHz * random.between(0.5, 0.95),
    points,
    rbwHz,
    filter: 'gaussian',
    sweeps: Math.round(random.logBetween(8, 64)),
    combine: 'power',
    peakLooks: 1,
    overlapping: random.chance(0.8),
    roundDb: 0.01,
  };
  const stopHz = setup.startHz + setup.spacingHz * (points - 1);
  const floorBefore = randomFloor(random, setup.startHz, stopHz, {
    slopeDbPerDecade: random.between(0, 6),
    rippleDb: random.between(0, 0.6),
  });

  const { sources, emitters } = build(random, setup, floorBefore);
  const deeds = new Map<string, Deed>(emitters.map(({ name }) => [name, 'nothing']));
  const converters = emitters.filter(({ name }) => name.startsWith('V')).map(({ name }) => name);
  let raised: BeforeAfterCase['raised'] = null;
  if (options.deeds) {
    const free = [...converters];
    for (const deed of ['attenuated', 'gone', 'moved'] as const)
      if (random.chance(0.75)) deeds.set(free.splice(random.integer(0, free.length - 1), 1)[0]!, deed);
    if (random.chance(0.6)) {
      const widthHz = random.between(0.1, 0.25) * (stopHz - setup.startHz);
      const lowHz = random.between(setup.startHz, stopHz - widthHz);
      raised = { lowHz, highHz: lowHz + widthHz };
    }
    if (random.chance(0.6)) deeds.set('new comb', 'new');
  }

  const newcomer = absolute(
    converterEmitter(random, 'new comb', false, unregisteredHz(random, Math.max(80e3, 8 * rbwHz), sources), STEADY),
    setup,
    stopHz,
    floorBefore,
  );
  const foreign = randomForeign(random, setup.startHz, stopHz, random.integer(5, 30)).map((line) => ({
    frequencyHz: line.frequencyHz,
    levelDb: line.overFloorDb + floorBefore(line.frequencyHz),
  }));
  const moves = new Map(
    emitters.map(({ name }) => [name, name.startsWith('X') ? 0 : random.normal() * options.wanderPpm]),
  );
  for (const [name, deed] of deeds)
    if (deed === 'moved') moves.set(name, random.between(10_000, 20_000) * random.pick([-1, 1]));
  const attenuated = (emitter: Emitter): Emitter =>
    deeds.get(emitter.name) === 'attenuated' ? { ...emitter, absoluteDb: emitter.absoluteDb! - 12 } : emitter;
  const emittersAfter = emitters
    .filter(({ name }) => deeds.get(name) !== 'gone')
    .map(attenuated)
    .map((emitter) => ({ ...emitter, fundamentalHz: emitter.fundamentalHz * (1 + 1e-6 * moves.get(emitter.name)!) }));
  if (deeds.get('new comb') === 'new') emittersAfter.push(newcomer);
  const floorAfter = raised === null ? floorBefore : withRaised(floorBefore, raised, (stopHz - setup.startHz) / 400);

  const side = (name: string, list: readonly Emitter[], floorDb: (hz: number) => number): AccuracyCase[] =>
    Array.from({ length: options.repeats }, () => {
      const input: CaseInput = {
        name,
        seed,
        setup,
        floorDb,
        emitters: list,
        foreign: foreign.map(({ frequencyHz, levelDb }) => ({
          frequencyHz,
          overFloorDb: levelDb - floorDb(frequencyHz),
        })),
        sources,
        settings: statedSettings(setup),
        axis: { referencePpm: 0, spanPpm: 0 },
        levelScatterDb: options.levelScatterDb,
      };
      return buildCase(input, random);
    });
  return {
    seed,
    before: side('before', emitters, floorBefore),
    after: side('after', emittersAfter, floorAfter),
    sources,
    deeds,
    raised,
  };
}

function build(
  random: Random,
  setup: SweepSetup,
  floorDb: (frequencyHz: number) => number,
): { sources: Source[]; emitters: Emitter[] } {
  const stopHz = setup.startHz + setup.spacingHz * (setup.points - 1);
  const sources: Source[] = [];
  const emitters: Emitter[] = [];
  const lowestHz = Math.max(80e3, 8 * setup.rbwHz);
  const count = random.integer(4, 7);
  for (let i = 1; i <= count; i++) {
    const nominalHz = Math.round(random.logBetween(lowestHz, 1.5e6) / 1e3) * 1e3;
    const tolerance = random.between(0.04, 0.08);
    sources.push(plainSource(`V${i}`, 'converter', nominalHz, Math.round(tolerance * 1e6)));
    // away from the ends of its tolerance, so that a move of two per cent stays inside
    const actualHz = nominalHz * (1 + random.between(-1, 1) * (tolerance - 0.021));
    emitters.push(absolute(converterEmitter(random, `V${i}`, true, actualHz, STEADY), setup, stopHz, floorDb));
  }
  const crystalHz = random.pick([1e6, 2e6, 4e6]);
  sources.push(plainSource('X1', 'clock', crystalHz, 50));
  emitters.push(
    absolute(
      clockEmitter(random, 'X1', true, crystalHz * (1 + 1e-6 * random.between(-40, 40)), STEADY),
      setup,
      stopHz,
      floorDb,
    ),
  );
  return { sources, emitters };
}

/** The same emitter with its level fixed as it stands over this floor. */
function absolute(
  emitter: Emitter,
  setup: SweepSetup,
  stopHz: number,
  floorDb: (frequencyHz: number) => number,
): Emitter {
  return { ...emitter, absoluteDb: absoluteDbOf(emitter, setup.startHz, stopHz, floorDb) };
}

function withRaised(
  floorDb: (frequencyHz: number) => number,
  { lowHz, highHz }: { lowHz: number; highHz: number },
  edgeHz: number,
): (frequencyHz: number) => number {
  return (frequencyHz) => {
    const above = (from: number): number => 1 / (1 + Math.exp(-(frequencyHz - from) / edgeHz));
    return floorDb(frequencyHz) + 14 * above(lowHz) * (1 - above(highHz));
  };
}
