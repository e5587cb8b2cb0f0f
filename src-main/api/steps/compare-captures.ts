import type { CompareInput } from '../../engine/compare.ts';
import type { Band } from '../../model/band.ts';
import { DEFAULT_COMPARE_SETTINGS, type CompareSettings } from '../../model/compare-settings.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Source } from '../../model/source.ts';
import type { ClearedEarlier, Comparison, Track } from '../../model/track.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import type { ComparedCaptures, ComparedSide } from '../../report/compare-document.ts';
import { conversionDb } from '../../units/conversions.ts';
import { compareSentence } from '../../report/compare-sentence.ts';
import { commonUnit } from './common-unit.ts';
import { risenFloor } from './risen-floor.ts';

export interface Sides {
  readonly before: readonly TriagedTrace[];
  readonly after: readonly TriagedTrace[];
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  readonly clearedEarlier: readonly ClearedEarlier[];
  /** What several captures of a side are; sweeps of one set-up unless said. */
  readonly repeats?: CompareSettings['repeats'] | undefined;
}

/** What the engine's comparison takes: the default settings but for what was said of the repeats. */
export function compareInput({ repeats, ...sides }: Sides): Omit<CompareInput, 'onProgress'> {
  const { repeats: unlessSaid } = DEFAULT_COMPARE_SETTINGS;
  return { ...sides, settings: { ...DEFAULT_COMPARE_SETTINGS, repeats: repeats ?? unlessSaid } };
}

/**
 * A comparison with what a reader needs beside it: each side's stated unit and the sentence.
 *
 * `meantFor` are the designators the step between the sides was meant for; empty where nobody said.
 */
export function comparedCaptures(
  { before, after }: Pick<Sides, 'before' | 'after'>,
  comparison: Comparison,
  meantFor: readonly string[],
): ComparedCaptures {
  const common = commonUnit(comparison);
  const isMeant = (source: string | null) => meantFor.length === 0 || meantFor.includes(source ?? '');
  return {
    before: sideOf(before, common),
    after: sideOf(after, common),
    comparison,
    sentence: compareSentence({
      tracks: comparison.tracks.filter((track) => !isOfTheInstrument(comparison, track)),
      sources: meantFor,
      risenFloor: risenFloor(comparison, before, after, isMeant),
      risenElsewhere: risenFloor(comparison, before, after, (source) => !isMeant(source)),
    }),
    warnings: [],
  };
}

/** Levels of a side are stated in its first file's unit; a density that was turned into a power is stated as that power. */
function sideOf(traces: readonly TriagedTrace[], common: LevelUnit): ComparedSide {
  const files = traces.map(({ file }) => file);
  const { unit } = traces[0]!.trace;
  if (unit.perHz && !common.perHz && common.name !== 'unknown') return { files, unit: common, offsetDb: 0 };
  return { files, unit, offsetDb: conversionDb(common, unit) ?? 0 };
}

/** A line of the analyser itself (its zero-hertz feed-through, a residual) is listed, but no fix is to blame or to thank for it. */
function isOfTheInstrument(comparison: Comparison, { beforeSpur, afterSpur }: Track): boolean {
  const said = [
    beforeSpur === null ? null : comparison.beforeExplanations[beforeSpur]!,
    afterSpur === null ? null : comparison.afterExplanations[afterSpur]!,
  ].filter((explanation) => explanation !== null);
  return said.every(({ cause }) => cause === 'instrument');
}
