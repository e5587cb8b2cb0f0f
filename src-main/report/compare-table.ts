import type { SourceChange, Track } from '../model/track.ts';
import { fromDecibels } from '../units/levels.ts';
import type { ComparedCaptures, ComparedSide } from './compare-document.ts';
import { fixed, frequencyHzText, levelText, significant } from './figures.ts';
import { table, type Column } from './table.ts';
import { terminalText } from './terminal-text.ts';

/** A comparison for a reader at a terminal: the sentence, every track, every source. Ends with a line end. */
export function compareTable(compared: ComparedCaptures): string {
  const { before, after, comparison } = compared;
  const sides = `before: ${before.files.join(', ')}\nafter: ${after.files.join(', ')}`;
  const head = [compared.sentence, ...sides.split('\n')].map(terminalText).join('\n') + '\n';
  if (comparison.tracks.length === 0) return `${head}\nno spur on either side\n`;
  const parts = [head, table(trackColumns(compared), comparison.tracks)];
  if (comparison.sources.length > 0) parts.push(table(SOURCE_COLUMNS, comparison.sources));
  return parts.join('\n');
}

function trackColumns({ before, after, comparison }: ComparedCaptures): readonly Column<Track>[] {
  const spurBefore = (track: Track) => (track.beforeSpur === null ? null : comparison.beforeSpurs[track.beforeSpur]!);
  const spurAfter = (track: Track) => (track.afterSpur === null ? null : comparison.afterSpurs[track.afterSpur]!);
  const level = (levelDb: number | null | undefined, { unit, offsetDb }: ComparedSide) =>
    levelText(
      levelDb === null || levelDb === undefined ? null : fromDecibels(levelDb + offsetDb, unit),
      unit.scale === 'decibel',
    );
  return [
    { head: 'status', align: 'left', cell: (track) => track.status },
    {
      head: 'frequency [Hz]',
      align: 'right',
      cell: (track) => {
        const spur = spurBefore(track) ?? spurAfter(track);
        return spur === null ? '-' : frequencyHzText(spur.frequencyHz, spur.frequencySigmaHz);
      },
    },
    { head: 'shift [Hz]', align: 'right', cell: (track) => significant(track.shiftHz, 3) },
    {
      head: `before [${before.unit.name}]`,
      align: 'right',
      cell: (track) => level(spurBefore(track)?.levelDb, before),
    },
    { head: `after [${after.unit.name}]`, align: 'right', cell: (track) => level(spurAfter(track)?.levelDb, after) },
    { head: 'change [dB]', align: 'right', cell: (track) => fixed(track.changeDb, 1) },
    { head: '± [dB]', align: 'right', cell: (track) => fixed(track.changeSigmaDb, 1) },
    { head: `limit [${after.unit.name}]`, align: 'right', cell: (track) => level(track.upperLimitDb, after) },
    { head: 'drop at least [dB]', align: 'right', cell: (track) => fixed(track.atLeastDb, 1) },
    { head: 'source', align: 'left', cell: (track) => track.source ?? '-' },
    { head: 'harmonic', align: 'right', cell: (track) => String(track.harmonic ?? '-') },
    { head: 'ran', align: 'left', cell: (track) => track.exercised },
  ];
}

const SOURCE_COLUMNS: readonly Column<SourceChange>[] = [
  { head: 'source', align: 'left', cell: (change) => change.source },
  { head: 'before [Hz]', align: 'right', cell: (change) => significant(change.beforeHz, 9) },
  { head: 'after [Hz]', align: 'right', cell: (change) => significant(change.afterHz, 9) },
  {
    head: 'tracks',
    align: 'left',
    cell: (change) =>
      Object.entries(change.tracks)
        .map(([status, count]) => `${count} ${status}`)
        .join(', '),
  },
];
