import type { ComparedCaptures } from '../compare-document.ts';
import { fromDecibels } from '../../units/levels.ts';
import { csvTable } from '../csv.ts';

const COLUMNS = [
  'status',
  'source',
  'harmonic',
  'before_hz',
  'before_level',
  'before_unit',
  'after_hz',
  'after_level',
  'after_unit',
  'change_db',
  'change_sigma_db',
  'at_least_db',
  'shift_hz',
  'upper_limit',
  'exercised',
  'why',
  'before_level_sigma_db',
  'after_level_sigma_db',
] as const;

/** The tracks of a comparison, one a row. Levels in each side's unit, the upper limit in the after side's; empty: none. A level's doubt
 * includes that of its calibration chain, a change's only where the two sides went through unlike ones. */
export function tracksCsv({ before, after, comparison }: ComparedCaptures): string {
  const rows = comparison.tracks.map((track) => {
    const left = track.beforeSpur === null ? null : comparison.beforeSpurs[track.beforeSpur]!;
    const right = track.afterSpur === null ? null : comparison.afterSpurs[track.afterSpur]!;
    return [
      track.status,
      track.source,
      track.harmonic,
      left?.frequencyHz ?? null,
      left === null ? null : fromDecibels(left.levelDb + before.offsetDb, before.unit),
      before.unit.name,
      right?.frequencyHz ?? null,
      right === null ? null : fromDecibels(right.levelDb + after.offsetDb, after.unit),
      after.unit.name,
      track.changeDb,
      track.changeSigmaDb,
      track.atLeastDb,
      track.shiftHz,
      track.upperLimitDb === null ? null : fromDecibels(track.upperLimitDb + after.offsetDb, after.unit),
      track.exercised,
      track.why,
      left === null ? null : Math.hypot(left.levelSigmaDb, before.chainSigmaDb?.[track.beforeSpur!] ?? 0),
      right === null ? null : Math.hypot(right.levelSigmaDb, after.chainSigmaDb?.[track.afterSpur!] ?? 0),
    ];
  });
  return csvTable(COLUMNS, rows);
}
