import type { LineExplanation } from '../model/attribution.ts';
import type { InputProblem } from '../model/input-problem.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import type { Comparison, SideSpur, Track } from '../model/track.ts';
import { fromDecibels } from '../units/levels.ts';
import { plainJson, type Json } from './plain-json.ts';
import { problemDocument } from './problem-document.ts';
import { spurDocument } from './spur-document.ts';

/** One side of a comparison: its files and the unit its levels are stated in. */
export interface ComparedSide {
  readonly files: readonly string[];
  readonly unit: LevelUnit;
  /** To add to a level in decibels of the comparison's common unit to have it in decibels of `unit`. */
  readonly offsetDb: number;
  /** What the calibration chain adds to the doubt of each of the side's spurs; left out: it has no chain. */
  readonly chainSigmaDb?: readonly number[];
}

export interface ComparedCaptures {
  readonly before: ComparedSide;
  readonly after: ComparedSide;
  readonly comparison: Comparison;
  /** What happened in one sentence; see compare-sentence.ts. */
  readonly sentence: string;
  readonly warnings: readonly string[];
}

/**
 * The document `spurledger.compare/1`. `upper_limit` is in the after side's unit; changes and drops are in dB.
 *
 * `compared` is null where a side could not be read: then nothing was compared and `problems` says why.
 */
export function compareDocument(compared: ComparedCaptures | null, problems: readonly InputProblem[]): Json {
  const head = { schema: 'spurledger.compare/1' };
  if (compared === null) {
    const warning = 'Nothing was compared: a side has no capture that could be read.';
    return plainJson({
      ...head,
      warnings: [warning],
      tracks: [],
      sources: [],
      problems: problems.map(problemDocument),
    });
  }
  const { before, after, comparison } = compared;
  return plainJson({
    ...head,
    warnings: [...new Set([...compared.warnings, ...comparison.warnings])],
    sentence: compared.sentence,
    before: { files: before.files, unit: before.unit.name },
    after: { files: after.files, unit: after.unit.name },
    levels_comparable: comparison.levelsComparable,
    repeatability_db: comparison.repeatabilityDb,
    repeatability_from: comparison.repeatabilityFrom,
    tracks: comparison.tracks.map((track) => ({
      status: track.status,
      before: beforeSpur(compared, track),
      after: afterSpur(compared, track),
      change_db: track.changeDb,
      change_sigma_db: track.changeSigmaDb,
      at_least_db: track.atLeastDb,
      shift_hz: track.shiftHz,
      upper_limit: track.upperLimitDb === null ? null : fromDecibels(track.upperLimitDb + after.offsetDb, after.unit),
      exercised: track.exercised,
      source: track.source,
      harmonic: track.harmonic,
      why: track.why,
    })),
    sources: comparison.sources.map(({ source, beforeHz, afterHz, tracks }) => ({
      source,
      before_hz: beforeHz,
      after_hz: afterHz,
      tracks,
    })),
    problems: problems.map(problemDocument),
  });
}

function beforeSpur({ before, comparison }: ComparedCaptures, { beforeSpur: i }: Track) {
  return i === null ? null : sideSpur(before, i, comparison.beforeSpurs[i]!, comparison.beforeExplanations[i]!);
}

function afterSpur({ after, comparison }: ComparedCaptures, { afterSpur: i }: Track) {
  return i === null ? null : sideSpur(after, i, comparison.afterSpurs[i]!, comparison.afterExplanations[i]!);
}

function sideSpur(
  { files, unit, offsetDb, chainSigmaDb }: ComparedSide,
  i: number,
  spur: SideSpur,
  explanation: LineExplanation,
) {
  const stated = { ...spur, levelDb: spur.levelDb + offsetDb, floorDb: spur.floorDb + offsetDb };
  return {
    ...spurDocument(stated, explanation, unit, chainSigmaDb?.[i]),
    file: files[spur.fileIndex]!,
    seen_in: spur.seenIn,
  };
}
