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

/** Both code points of the micro sign, and the letter u, become µ (U+00B5); blanks go. */
export function plainUnitText(text: string): string {
  return text.replaceAll('μ', 'µ').replace(/\s+/g, '').replaceAll('²', '2').replaceAll('^', '');
}

/** Hz per unit, or null for anything that is no frequency unit. */
export function frequencyFactor(text: string): number | null {
  return FREQUENCY_FACTORS[plainUnitText(text).toLowerCase()] ?? null;
}

/** Seconds per unit, or null for anything that is no time unit. */
export function timeFactor(text: string): number | null {
  return TIME_FACTORS[plainUnitText(text).toLowerCase()] ?? null;
}

const LINEAR_PREFIX = '(?:[pnµumk]?)';
const BASES: readonly [RegExp, (match: RegExpExecArray) => LevelUnit][] = [
  [/^db(m|w|fs|v|a|pt|c|µv|uv|mv|nv|µa|ua|ma|pw)?(\/m)?(\/hz|\/sqrt\(?hz\)?|\/√hz|\/rthz|\(1hz\))?$/i, decibelUnit],
  [new RegExp(`^(${LINEAR_PREFIX}W)(\\/Hz)?$`), (m) => linear(m[1]!, 'power', m[2])],
  [new RegExp(`^(${LINEAR_PREFIX}V2)(\\/Hz)?$`), (m) => linear(m[1]!.replace('2', '²'), 'power', m[2])],
  [new RegExp(`^(${LINEAR_PREFIX}A2)(\\/Hz)?$`), (m) => linear(m[1]!.replace('2', '²'), 'power', m[2])],
  [
    new RegExp(`^(${LINEAR_PREFIX}[VA])(?:rms|eff)?(\\/m)?(\\/√Hz|\\/sqrt\\(?Hz\\)?|\\/rtHz)?$`),
    (m) => linear(`${m[1]!}${m[2] ?? ''}`, 'amplitude', m[3] === undefined ? undefined : '/√Hz'),
  ],
];

function decibelUnit(match: RegExpExecArray): LevelUnit {
  const base = (match[1] ?? '').toLowerCase().replace('u', 'µ');
  const names: Readonly<Record<string, string>> = {
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
  const density = match[3];
  const suffix = density === undefined ? '' : /sqrt|√|rt/i.test(density) ? '/√Hz' : '/Hz';
  return { name: `${names[base]!}${match[2] ?? ''}${suffix}`, scale: 'decibel', perHz: density !== undefined };
}

function linear(name: string, scale: 'power' | 'amplitude', density: string | undefined): LevelUnit {
  return { name: `${name.replace(/^u/, 'µ')}${density ?? ''}`, scale, perHz: density !== undefined };
}

/**
 * A level unit from its printed name (dBm, dBµV with either micro sign or u, V, V²/Hz, dBm/Hz …), or null where the text is none.
 * Vrms and Veff are V: a spectrum's amplitude is taken as rms.
 */
export function parseLevelUnit(text: string): LevelUnit | null {
  const plain = plainUnitText(text);
  if (/^volts?$/i.test(plain)) return { name: 'V', scale: 'amplitude', perHz: false };
  if (/^watts?$/i.test(plain)) return { name: 'W', scale: 'power', perHz: false };
  for (const [pattern, build] of BASES) {
    const match = pattern.exec(plain);
    if (match !== null) return build(match);
  }
  return null;
}
