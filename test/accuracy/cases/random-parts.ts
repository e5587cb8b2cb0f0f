import type { Source, SourceKind } from '../../../src-main/model/source.ts';
import { randomCoupling } from '../simulator/coupling.ts';
import type { Random } from '../simulator/random.ts';
import type { Wander } from '../simulator/sweep.ts';
import type { Emitter, ForeignLine } from './build-case.ts';

/** A register entry with nothing in it but name, kind, frequency and tolerance. */
export function plainSource(
  designator: string,
  kind: SourceKind,
  nominalHz: number,
  tolerancePpm: number | null,
  more: Partial<Source> = {},
): Source {
  return {
    designator,
    kind,
    nominalHz,
    tolerancePpm,
    driftPpmPerK: null,
    spreadPpm: null,
    lock: null,
    duty: null,
    riseS: null,
    maxHarmonic: null,
    adjust: null,
    fedBy: null,
    owner: 'ours',
    serial: '',
    notes: '',
    ...more,
  };
}

/** A floor that slopes with the logarithm of frequency and ripples along the span. */
export function randomFloor(
  random: Random,
  startHz: number,
  stopHz: number,
  { slopeDbPerDecade, rippleDb }: { slopeDbPerDecade: number; rippleDb: number },
): (frequencyHz: number) => number {
  const baseDb = random.between(-130, -80);
  const periods = random.between(1.5, 10);
  const phase = random.between(0, 2 * Math.PI);
  return (frequencyHz) =>
    baseDb -
    slopeDbPerDecade * Math.log10(Math.max(frequencyHz, 1e3) / startHz) +
    rippleDb * Math.sin((2 * Math.PI * periods * (frequencyHz - startHz)) / (stopHz - startHz) + phase);
}

/** Stations on their rasters in a few stretches of the span, and single lines anywhere. */
export function randomForeign(random: Random, startHz: number, stopHz: number, count: number): ForeignLine[] {
  const out: ForeignLine[] = [];
  const height = (): number => Math.min(5 - 12 * Math.log(1 - random.uniform()), 55);
  const stretches = random.integer(1, 3);
  for (let s = 0; s < stretches; s++) {
    const rasterHz = random.pick([5e3, 9e3, 10e3, 100e3]);
    const centreHz = random.between(startHz, stopHz);
    const widthHz = random.between(20, 60) * rasterHz;
    const stations = Math.round((0.6 * count) / stretches);
    for (let i = 0; i < stations; i++) {
      const channel = Math.round((centreHz + random.between(-0.5, 0.5) * widthHz) / rasterHz);
      // stations keep their channel to a few hertz
      out.push({ frequencyHz: channel * rasterHz + 2 * random.normal(), overFloorDb: height() });
    }
  }
  while (out.length < count) out.push({ frequencyHz: random.between(startHz, stopHz), overFloorDb: height() });
  return out.filter((line) => line.frequencyHz > startHz && line.frequencyHz < stopHz);
}

/** A free-running converter's radiation. */
export function converterEmitter(
  random: Random,
  name: string,
  registered: boolean,
  fundamentalHz: number,
  wander: Wander,
  strongestOverFloorDb = random.between(18, 60),
): Emitter {
  return {
    name,
    registered,
    fundamentalHz,
    duty: random.chance(0.15) ? 0.5 : random.between(0.12, 0.88),
    riseS: random.logBetween(5e-9, 60e-9),
    coupling: randomCoupling(random),
    strongestOverFloorDb,
    wander,
  };
}

/** A crystal clock's radiation: nearly square, fast edges. */
export function clockEmitter(
  random: Random,
  name: string,
  registered: boolean,
  fundamentalHz: number,
  wander: Wander,
): Emitter {
  return {
    name,
    registered,
    fundamentalHz,
    duty: random.between(0.42, 0.58),
    riseS: random.logBetween(0.8e-9, 4e-9),
    coupling: randomCoupling(random),
    strongestOverFloorDb: random.between(15, 55),
    wander,
  };
}

/** A fundamental outside every entry's tolerance: inside one it could be that entry, moved, as far as anyone can tell. */
export function unregisteredHz(random: Random, lowestHz: number, sources: readonly Source[]): number {
  for (;;) {
    const frequencyHz = random.logBetween(lowestHz, 2e6);
    if (sources.every(({ nominalHz, tolerancePpm }) => Math.abs(frequencyHz / nominalHz - 1) > 1.2e-6 * tolerancePpm!))
      return frequencyHz;
  }
}
