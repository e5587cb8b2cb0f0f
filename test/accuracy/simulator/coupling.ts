import type { Random } from './random.ts';

/** Gain in dB from a switching node to the measured port, at a frequency. */
export type Coupling = (frequencyHz: number) => number;

/**
 * A random smooth path: a slope (stray capacitance or inductance), a few slow undulations (cable and enclosure), and notches
 * (a decoupling capacitor at its own resonance, a cable a half wave long). The absolute level is the caller's.
 */
export function randomCoupling(
  random: Random,
  {
    slopeDbPerDecade = random.between(0, 25),
    undulationDb = random.between(2, 7),
    notches = random.integer(0, 3),
  } = {},
  lowHz = 1e5,
  highHz = 1e8,
): Coupling {
  const waves = Array.from({ length: 4 }, (_, i) => ({
    perDecade: random.between(0.3, 1) * (i + 1),
    phase: random.between(0, 2 * Math.PI),
    gain: (undulationDb * random.normal()) / (i + 1),
  }));
  const holes = Array.from({ length: notches }, () => ({
    centreHz: random.logBetween(lowHz, highHz),
    quality: random.between(1.5, 12),
    floorDb: random.between(-45, -15),
  }));
  return (frequencyHz) => {
    const decades = Math.log10(frequencyHz / 1e6);
    let gain = slopeDbPerDecade * Math.min(decades, 1);
    for (const wave of waves) gain += wave.gain * Math.sin(2 * Math.PI * wave.perDecade * decades + wave.phase);
    for (const hole of holes) {
      const detuning = hole.quality * (frequencyHz / hole.centreHz - hole.centreHz / frequencyHz);
      const depth = 10 ** (hole.floorDb / 10);
      gain += 10 * Math.log10((detuning * detuning + depth) / (detuning * detuning + 1));
    }
    return gain;
  };
}
