import type { Averaging, Detector } from '../../model/capture.ts';

/** The kind of averaging a text names; `unknown` for a text that names none. */
export function averagingKind(text: string | null): Averaging {
  const plain = (text ?? '').toLowerCase();
  if (/max/.test(plain)) return 'max-hold';
  if (/min(?!ute)/.test(plain)) return 'min-hold';
  if (/log|video|\bdb\b/.test(plain)) return 'log';
  if (/rms|power|pwr|leistung|quadrat|energy/.test(plain)) return 'power';
  if (/volt|amplitude|^lin|linear|spannung|vector/.test(plain)) return 'voltage';
  if (/^(?:none|off|no|0|aus|disabled|false)$/.test(plain)) return 'none';
  return 'unknown';
}

/** What a trace shows: held, averaged, single sweeps, or not told. */
export type TraceMode = 'max-hold' | 'min-hold' | 'average' | 'single' | 'blank' | null;

export function traceModeOf(text: string | null): TraceMode {
  const plain = (text ?? '').toLowerCase().replace(/[\s_/-]+/g, '');
  if (plain === '') return null;
  if (/max(hold|peak|halten|imum)?$|^max|maxh|peakhold/.test(plain)) return 'max-hold';
  if (/min(hold|halten|imum)?$|^minh|minhold/.test(plain)) return 'min-hold';
  if (/av(er|era|erage|erag\w*|g)?$|^av|mittel/.test(plain)) return 'average';
  if (/clear|write|writ|clrw|live|single|normal|actual|^on$/.test(plain)) return 'single';
  if (/blank|^off$/.test(plain)) return 'blank';
  return null;
}

/**
 * The detector a text names. `peak` without a sign is positive; a text that is the receiver's alternating detector
 * (normal, auto-peak, rosenfell) is `normal`.
 */
export function detectorOf(text: string | null): Detector {
  const plain = (text ?? '').toLowerCase().trim();
  if (/quasi|^qp|q-?peak/.test(plain)) return 'quasi-peak';
  if (/auto|norm|rosen/.test(plain)) return 'normal';
  if (/neg|min/.test(plain)) return 'negative-peak';
  if (/peak|^p(?:o)?k\+?|pos|max|spitze/.test(plain)) return 'positive-peak';
  if (/samp|abtast|^smp/.test(plain)) return 'sample';
  if (/rms|effektiv/.test(plain)) return 'rms';
  if (/av|mittel|linear/.test(plain)) return 'average';
  return 'unknown';
}

/** A number of sweeps: `64`, `64 sweeps`, `16/16`, `16 of 32`; null for other text. */
export function countOf(text: string | null): number | null {
  // averages of segments that overlap, as this program writes them: without the word a point could part thousands
  const effective = /^(\d+\.\d+) effective$/i.exec((text ?? '').trim());
  if (effective !== null) return Number(effective[1]);
  const match = /^(\d+)(?:[.,]0*)?(?: ?(?:\/|of|von) ?\d+)?(?: ?\(?[a-z ]+\)?)?$/i.exec((text ?? '').trim());
  return match === null ? null : Number(match[1]);
}

/** Between which points of a filter its bandwidth is stated; null for a text that does not say. */
export function filterShapeOf(text: string | null): '3 dB' | '6 dB' | 'noise' | null {
  const plain = (text ?? '').toLowerCase();
  if (/noise|enbw/.test(plain)) return 'noise';
  if (/(?:^|[^\d])-?6 ?db|cispr|emi\b|emc|quasi/.test(plain)) return '6 dB';
  return /(?:^|[^\d])-?3 ?db/.test(plain) ? '3 dB' : null;
}

/** Seconds in a sweep time such as `64.4 ms`; `keyUnit` or `nextCell` may hold the unit. */
export function secondsPer(unit: string): number | null {
  const plain = unit.replace(/[^a-zµ]/gi, '').toLowerCase();
  if (/^(?:s|sec|secs|second|seconds|sek|sekunden)$/.test(plain)) return 1;
  if (/^(?:ms|msec)$/.test(plain)) return 1e-3;
  if (/^(?:us|µs|usec)$/.test(plain)) return 1e-6;
  return /^(?:min|minutes?)$/.test(plain) ? 60 : null;
}
