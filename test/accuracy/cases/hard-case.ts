import type { Source } from '../../../src-main/model/source.ts';
import { randomCoupling } from '../simulator/coupling.ts';
import { seededRandom, type Random } from '../simulator/random.ts';
import { STEADY, type SweepSetup, type Wander } from '../simulator/sweep.ts';
import { buildCase, type Emitter } from './build-case.ts';
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

/** What makes a hard capture hard; each case has one theme, and may have hard reception besides. */
export const HARD_THEMES = [
  'two to one',
  'three to two',
  'near equal',
  'six within three per cent',
  'locked ratios',
  'odd only',
  'half-frequency lines',
  'a third missing',
  'drift within the sweep',
  'axis error',
  'ordinary sources',
] as const;

export type HardTheme = (typeof HARD_THEMES)[number];

/** Fundamentals of six regulators of one satellite in flight, kHz (check-values: a public page of a plasma-wave instrument). */
const SIX_KHZ = [117.6, 118.4, 119.3, 120.7, 121.0, 121.1];

/**
 * Campaign b: what real benches do. Log averaging, max hold, peak detection, ripple, filter skirts, coarse points, and sources that
 * are hard to tell apart. Themes take turns by seed.
 */
export function hardCase(seed: number, theme: HardTheme = HARD_THEMES[seed % HARD_THEMES.length]!): AccuracyCase {
  const random = seededRandom(seed + 7_000_000);
  const setup = randomSetup(random);
  const { startHz, rbwHz } = setup;
  const stopHz = startHz + setup.spacingHz * (setup.points - 1);
  const lowestHz = Math.max(80e3, 8 * rbwHz);
  const build: Build = { random, sources: [], emitters: [], lowestHz, steady: () => smallWander(random) };
  const axis = { referencePpm: random.between(-0.7, 0.7), spanPpm: 0 };
  let accuracyPpm: number | null = null;

  switch (theme) {
    case 'two to one':
      ratioPair(build, 2, 1);
      break;
    case 'three to two':
      ratioPair(build, 3, 2);
      break;
    case 'near equal':
      nearEqual(build);
      break;
    case 'six within three per cent':
      sixAlike(build);
      break;
    case 'locked ratios':
      lockedFamily(build);
      break;
    case 'odd only':
      for (let i = 1; i <= 3; i++) addConverter(build, `V${i}`, { duty: 0.5 });
      break;
    case 'half-frequency lines':
      for (let i = 1; i <= 2; i++) addConverter(build, `V${i}`, { halfLinesDb: random.between(-18, -4) });
      break;
    case 'a third missing':
      for (let i = 1; i <= 4; i++) addConverter(build, `V${i}`, { missing: 1 / 3 });
      break;
    case 'drift within the sweep':
      for (let i = 1; i <= 3; i++)
        addConverter(build, `V${i}`, {
          wander: { driftPpm: random.between(20, 150) * random.pick([-1, 1]), jitterPpm: 0, spreadPpm: 0 },
        });
      break;
    case 'axis error':
      axis.referencePpm = random.between(-6, 6);
      axis.spanPpm = random.between(-3, 3);
      accuracyPpm = 10;
      break;
    case 'ordinary sources':
      break;
  }
  while (build.sources.length < 5) addConverter(build, `V${build.sources.length + 1}`, {});
  for (const nominalHz of [10e6, 16e6]) {
    const designator = `X${nominalHz / 1e6}`;
    build.sources.push(plainSource(designator, 'clock', nominalHz, 50));
    if (random.chance(0.7))
      build.emitters.push(
        clockEmitter(random, designator, true, nominalHz * (1 + 1e-6 * random.between(-50, 50)), STEADY),
      );
  }
  if (random.chance(0.5))
    build.emitters.push(
      converterEmitter(
        random,
        'unregistered 1',
        false,
        unregisteredHz(random, lowestHz, build.sources),
        build.steady(),
      ),
    );
  return buildCase(
    {
      name: theme,
      seed,
      setup,
      floorDb: randomFloor(random, startHz, stopHz, {
        slopeDbPerDecade: random.between(0, 10),
        rippleDb: random.between(0, 2),
      }),
      emitters: build.emitters,
      foreign: randomForeign(random, startHz, stopHz, random.integer(8, 60)),
      sources: build.sources,
      settings: statedSettings(setup, { frequencyAccuracyPpm: accuracyPpm }),
      axis,
    },
    random,
  );
}

interface Build {
  readonly random: Random;
  readonly sources: Source[];
  readonly emitters: Emitter[];
  readonly lowestHz: number;
  readonly steady: () => Wander;
}

function smallWander(random: Random): Wander {
  return { driftPpm: random.between(-4, 4), jitterPpm: random.between(0, 1.5), spreadPpm: 0 };
}

function randomSetup(random: Random): SweepSetup {
  const points = Math.round(random.logBetween(10_000, 50_000));
  const rbwHz = random.pick([1e3, 1e3, 3e3, 5e3, 9e3]);
  const combine = random.pick(['power', 'power', 'log', 'log', 'max-hold'] as const);
  const spacingHz = rbwHz * (random.chance(0.15) ? random.between(1.1, 1.6) : random.between(0.5, 1));
  return {
    startHz: Math.max(30e3, 20 * rbwHz),
    spacingHz,
    points,
    rbwHz,
    filter: random.pick(['gaussian', 'four-pole']),
    sweeps: Math.round(random.logBetween(8, 64)),
    combine,
    peakLooks: random.chance(0.15) ? random.integer(2, 4) : 1,
    overlapping: random.chance(0.8),
    roundDb: random.pick([0.01, 0.01, 0.1]),
  };
}

function addConverter(build: Build, designator: string, more: Partial<Emitter>, nominalHz?: number): void {
  const { random } = build;
  const nominal = nominalHz ?? Math.round(random.logBetween(build.lowestHz, 2e6) / 1e3) * 1e3;
  const tolerance = random.between(0.02, 0.08);
  build.sources.push(plainSource(designator, 'converter', nominal, Math.round(tolerance * 1e6)));
  const actualHz = nominal * (1 + random.between(-tolerance, tolerance));
  build.emitters.push({ ...converterEmitter(random, designator, true, actualHz, build.steady()), ...more });
}

/** Two converters whose nominal frequencies are in a simple ratio; each runs where it likes. */
function ratioPair(build: Build, numerator: number, denominator: number): void {
  const base = Math.round(build.random.logBetween(build.lowestHz, 8e5) / 1e3) * 1e3;
  addConverter(build, 'V1', {}, base);
  addConverter(build, 'V2', {}, (base * numerator) / denominator);
}

/** Two to four converters of one type: same nominal frequency, a few hundred to a few thousand ppm apart. */
function nearEqual(build: Build): void {
  const { random } = build;
  const nominal = Math.round(random.logBetween(build.lowestHz, 1e6) / 1e3) * 1e3;
  const count = random.integer(2, 4);
  for (let i = 1; i <= count; i++) {
    build.sources.push(plainSource(`V${i}`, 'converter', nominal, 50_000));
    build.emitters.push(
      converterEmitter(random, `V${i}`, true, nominal * (1 + random.between(-0.03, 0.03)), build.steady()),
    );
  }
}

/** Six regulators within three per cent; half of the time their own frequency is known to 0.2 %, else only the type's 5 %. */
function sixAlike(build: Build): void {
  const { random } = build;
  const scale = Math.max(1, Math.ceil(build.lowestHz / 100e3)) * random.between(0.9, 1.6);
  const measured = random.chance(0.5);
  SIX_KHZ.forEach((khz, i) => {
    const actualHz = khz * 1e3 * scale;
    const nominal = measured ? Math.round(actualHz * (1 + random.between(-0.001, 0.001))) : Math.round(120e3 * scale);
    build.sources.push(plainSource(`V${i + 1}`, 'converter', nominal, measured ? 2_000 : 50_000));
    build.emitters.push({
      ...converterEmitter(random, `V${i + 1}`, true, actualHz, build.steady()),
      coupling: randomCoupling(random),
    });
  });
}

/** One oscillator and three converters locked to it by ratios: every few teeth fall together exactly. */
function lockedFamily(build: Build): void {
  const { random } = build;
  const nominal = Math.round(random.logBetween(Math.max(build.lowestHz * 2, 2e5), 1e6) / 1e3) * 1e3;
  const actualHz = nominal * (1 + random.between(-0.02, 0.02));
  const wander = build.steady();
  build.sources.push(plainSource('V1', 'converter', nominal, 30_000));
  build.emitters.push(converterEmitter(random, 'V1', true, actualHz, wander));
  const ratios: [number, number][] = [
    [2, 1],
    [3, 2],
    [1, 2],
  ];
  ratios.forEach(([numerator, denominator], i) => {
    const designator = `V${i + 2}`;
    build.sources.push(
      plainSource(designator, 'converter', (nominal * numerator) / denominator, 30_000, {
        lock: { to: 'V1', numerator, denominator },
      }),
    );
    build.emitters.push(converterEmitter(random, designator, true, (actualHz * numerator) / denominator, wander));
  });
}
