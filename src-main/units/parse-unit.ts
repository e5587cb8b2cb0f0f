import type { LevelUnit } from '../model/level-unit.ts';

/** Frequency units by their lower-case name. Case matters only for mHz against MHz: a spectrum in millihertz is not believed. */
const FREQUENCY_FACTORS: Readonly<Record<string, number>> = { hz: 1, khz: 1e3, mhz: 1e6, ghz: 1e9 };
const TIME_FACTORS: Readonly<Record<string, number>> = {
  s: 1,
  sec: 1,
  second: 1,
  seconds: 1,
  sekunde: 1,
  sekunden: 1,
  ms: 1e-3,
  us: 1e-6,
  µs: 1e-6,
  ns: 1e-9,
  ps: 1e-12,
};

/**
 * One spelling for what has several: both code points of the micro sign become µ (U+00B5), and so do what is left of it after a wrong
 * encoding (`Âµ`, or `æ` from the old code pages 437 and 850, in front of V, A or W); blanks and powers' marks go.
 */
export function plainUnitText(text: string): string {
  return text
    .replaceAll('μ', 'µ')
    .replaceAll('Âµ', 'µ')
    .replace(/(?<=^d?B?\s*)æ(?=[VAW])/, 'µ')
    .replace(/\s+/g, '')
    .replaceAll('²', '2')
    .replaceAll('**', '')
    .replaceAll('^', '');
}

/** Hz per unit, or null for anything that is no frequency unit. */
export function frequencyFactor(text: string): number | null {
  return FREQUENCY_FACTORS[plainUnitText(text).toLowerCase()] ?? null;
}

/** Seconds per unit, or null for anything that is no time unit. */
export function timeFactor(text: string): number | null {
  return TIME_FACTORS[plainUnitText(text).toLowerCase()] ?? null;
}

const PREFIX = '[pnµumk]?';
const PER_HZ = '(\\/Hz|Hz-1)?';
const PER_ROOT_HZ =
  '(\\/√\\(?Hz\\)?|\\/sqrt\\(?Hz\\)?|\\/r(?:oo)?t\\(?Hz\\)?|\\/Hz0\\.5|Hz-0\\.5|\\/Hz1\\/2|\\/Hz\\(?1\\/2\\)?)?';
const DECIBEL = new RegExp(
  `^db(m|w|fs|v|a|pt|c|µv|uv|mv|nv|µa|ua|ma|pw)?(?:rms|eff)?(\\/m)?(\\/hz|${PER_ROOT_HZ.slice(1, -2)}|\\(1hz\\))?$`,
  'i',
);
const LINEAR: readonly (readonly [RegExp, 'power' | 'amplitude', string])[] = [
  [new RegExp(`^(${PREFIX}W)${PER_HZ}$`), 'power', '/Hz'],
  [new RegExp(`^(${PREFIX}[VA]2)(?:rms)?${PER_HZ}$`), 'power', '/Hz'],
  [new RegExp(`^(${PREFIX}[VA](?:\\/m)?)${PER_ROOT_HZ}$`), 'amplitude', '/√Hz'],
];
const DECIBEL_NAMES: Readonly<Record<string, string>> = {
  '': 'dB',
  m: 'dBm',
  w: 'dBW',
  fs: 'dBFS',
  v: 'dBV',
  a: 'dBA',
  c: 'dBc',
  pt: 'dBpT',
  µv: 'dBµV',
  mv: 'dBmV',
  nv: 'dBnV',
  µa: 'dBµA',
  ma: 'dBmA',
  pw: 'dBpW',
};
const WORDS: Readonly<Record<string, string>> = {
  volt: 'V',
  volts: 'V',
  millivolt: 'mV',
  microvolt: 'µV',
  watt: 'W',
  watts: 'W',
  milliwatt: 'mW',
  ampere: 'A',
  amps: 'A',
};

/**
 * A level unit from its printed name (dBm, dBµV with either micro sign or u, dB(µV/m), V, V²/Hz, nV/√Hz, dBm/Hz …), or null where
 * the text is none. Vrms and Veff are V: a spectrum's amplitude is taken as rms. Lower-case mv, uv, mw are believed; a bare v or w too.
 */
export function parseLevelUnit(text: string): LevelUnit | null {
  if (text.length > 40) return null;
  const plain = plainUnitText(text);
  const word = WORDS[plain.toLowerCase()];
  // dB(µV/m), dB re 1 µV, dBm(50Ω): the reference in brackets or behind re; an impedance in brackets is no part of the unit
  const bare = (word ?? plain)
    .replace(/\(\d+(?:Ω|ohms?)\)$/i, '')
    .replace(/^dBre1?/i, 'dB')
    .replace(/^dB\(1?([^()]*)\)/i, 'dB$1')
    .replace(/^dB1(?=[µumn]?[VAW])/i, 'dB');
  const decibel = DECIBEL.exec(bare);
  if (decibel !== null) return decibelUnit(decibel);
  const cased = /^[pnµumk]?[vw]$/.test(bare) ? bare.slice(0, -1) + bare.slice(-1).toUpperCase() : bare;
  const linear = cased.replace(/^([pnµumk]?[VA])(?:rms|eff|_rms)/i, '$1');
  for (const [pattern, scale, perHz] of LINEAR) {
    const match = pattern.exec(linear);
    if (match === null) continue;
    const name = match[1]!.replace(/^u/, 'µ').replace('2', '²');
    return { name: match[2] === undefined ? name : name + perHz, scale, perHz: match[2] !== undefined };
  }
  return null;
}

function decibelUnit(match: RegExpExecArray): LevelUnit {
  const base = (match[1] ?? '').toLowerCase().replace('u', 'µ');
  const density = match[3];
  const suffix = density === undefined ? '' : /sqrt|√|rt|0\.5|1\/2/i.test(density) ? '/√Hz' : '/Hz';
  return {
    name: `${DECIBEL_NAMES[base]!}${match[2] ?? ''}${suffix}`,
    scale: 'decibel',
    perHz: density !== undefined,
  };
}
