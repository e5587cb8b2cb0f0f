import type { Comparison, Track } from '../../model/track.ts';
import { formatDecimal, formatSigned } from '../../units/format.ts';

/**
 * What a step did, in one to three sentences with numbers and their uncertainty: the mean change of the lines it was meant for, those
 * cleared by how much at least, those that cannot be judged; then what got worse elsewhere.
 *
 * The doubt of a mean change is one standard deviation: the scatter of the lines over √n, and the repeatability of the two set-ups, which
 * all lines share. `meantFor` empty: all lines are meant.
 */
export function fixEffect(comparison: Comparison, meantFor: readonly string[]): string {
  const isMeant = ({ source }: Track) => meantFor.length === 0 || (source !== null && meantFor.includes(source));
  const meant = comparison.tracks.filter(isMeant);
  const name = meantFor.length === 0 ? 'All lines' : meantFor.join(' and ');
  const before = meant.filter(({ beforeSpur }) => beforeSpur !== null);
  if (before.length === 0) return `${name}: no line before. ${elsewhere(comparison, isMeant)}`.trim();
  const parts = [
    meanChange(before, comparison.repeatabilityDb),
    atLeast(before, 'cleared'),
    count(before, 'hidden', 'hidden by the later floor, so nothing is said of them'),
    count(before, 'uncovered', 'outside the later span'),
  ].filter((part) => part !== '');
  return `${name}, ${before.length} ${before.length === 1 ? 'line' : 'lines'} before: ${parts.join('; ')}. ${elsewhere(comparison, isMeant)}`.trim();
}

function meanChange(tracks: readonly Track[], repeatabilityDb: number): string {
  const changes = tracks.map(({ changeDb }) => changeDb).filter((change) => change !== null);
  if (changes.length === 0) return '';
  const mean = changes.reduce((sum, value) => sum + value, 0) / changes.length;
  const variance = changes.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, changes.length - 1);
  const doubt = Math.hypot(Math.sqrt(variance / changes.length), Math.SQRT2 * repeatabilityDb);
  const moved = Math.abs(mean) > 2 * doubt ? '' : ', no change beyond doubt';
  return `${formatSigned(mean, 1)} ± ${formatDecimal(doubt, 1)} dB over ${changes.length} seen on both sides${moved}`;
}

function atLeast(tracks: readonly Track[], status: Track['status']): string {
  const drops = tracks.filter((track) => track.status === status).map(({ atLeastDb }) => atLeastDb ?? 0);
  return drops.length === 0
    ? ''
    : `${drops.length} cleared, by at least ${formatDecimal(Math.min(...drops), 1)} dB each`;
}

function count(tracks: readonly Track[], status: Track['status'], words: string): string {
  const n = tracks.filter((track) => track.status === status).length;
  return n === 0 ? '' : `${n} ${words}`;
}

function elsewhere({ tracks }: Comparison, isMeant: (track: Track) => boolean): string {
  const others = tracks.filter((track) => !isMeant(track) || track.beforeSpur === null);
  const parts = (['new', 'back', 'stronger'] as const).flatMap((status) => {
    const n = others.filter((track) => track.status === status).length;
    return n === 0 ? [] : [`${n} ${status}`];
  });
  return parts.length === 0 ? '' : `Elsewhere: ${parts.join(', ')}.`;
}
