import { applyCondition } from '../model/apply-condition.ts';
import type { Band } from '../model/band.ts';
import type { Condition } from '../model/condition.ts';
import type { Source } from '../model/source.ts';
import { goingOff } from '../model/source-tree.ts';
import type { Trace } from '../model/trace.ts';
import type { Triage } from '../model/triage.ts';
import type { TriageSettings } from '../model/triage-settings.ts';
import { columnToDecibels } from '../units/levels.ts';
import { attribute } from './attribution/attribute.ts';
import { stackBelow } from './below/stack-below.ts';
import { estimateFloor } from './floor/estimate-floor.ts';
import { explainMixing } from './mixing/explain-mixing.ts';
import { nameOutside } from './set-aside.ts';
import { findSpurs } from './spurs/find-spurs.ts';
import { filterResponse } from './spurs/line-shape.ts';

export interface AnalyseInput {
  readonly trace: Trace;
  readonly sources: readonly Source[];
  readonly condition: Condition | null;
  /** Receive bands: where one samples or mixes, harmonics may be folded. None unless given. */
  readonly bands?: readonly Band[];
  readonly settings: TriageSettings;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/**
 * The whole line for one trace: floor → spurs → sources. Pure: the same trace, sources and settings give the same result.
 *
 * Settings that a condition states override those of the trace.
 */
export function analyseTrace(input: AnalyseInput): Triage {
  const { trace, sources, settings } = input;
  const taken = applyCondition(trace.settings, input.condition);
  const progress = input.onProgress ?? (() => {});
  const levelDb = columnToDecibels(trace.level, trace.unit);
  const axisPpm = taken.frequencyAccuracyPpm ?? settings.frequencyAccuracyPpm;

  progress(0, 'floor');
  const floor = estimateFloor({
    frequencyHz: trace.frequencyHz,
    levelDb,
    settings: taken,
    falseAlarmsPerCapture: settings.falseAlarmsPerCapture,
    floorWindowPoints: settings.floorWindowPoints,
  });
  progress(0.4, 'spurs');
  const found = findSpurs({
    frequencyHz: trace.frequencyHz,
    levelDb,
    floor,
    settings: taken,
    frequencyAccuracyPpm: axisPpm,
  });
  progress(0.7, 'sources');
  // switching a source off takes along all that it feeds
  const sourcesOff = goingOff(input.condition?.sourcesOff ?? [], sources);
  const attribution = nameOutside(trace, found.spurs, (spurs) =>
    attribute({
      spurs,
      frequencyHz: trace.frequencyHz,
      rbwHz: taken.rbwHz,
      sparse: found.sparse,
      sources,
      sourcesOff,
      claimChance: settings.claimChance,
      matchSigma: settings.matchSigma,
      axisPpm,
    }),
  );
  progress(0.85, 'beats, sidebands and folds');
  const mixing = explainMixing({
    spurs: found.spurs,
    explanations: attribution.explanations,
    combs: attribution.combs,
    sources,
    sourcesOff,
    bands: input.bands ?? [],
    condition: input.condition,
    frequencyHz: trace.frequencyHz,
    lineWidthHz: Math.max(found.lineWidthHz, found.spacingHz),
    claimChance: settings.claimChance,
    matchSigma: settings.matchSigma,
    axisPpm,
  });
  const { combs } = mixing;
  progress(0.9, 'below the threshold');
  const below = stackBelow({
    frequencyHz: trace.frequencyHz,
    levelDb,
    floor,
    settings: taken,
    spurs: found.spurs,
    explanations: mixing.explanations,
    combs,
    sources,
    sourcesOff,
    axisPpm,
    claimChance: settings.claimChance,
    lineWidthHz: found.lineWidthHz,
    response: (offsetHz) => filterResponse(offsetHz, found.lineWidthHz, found.lineShape),
  });
  progress(1, 'done');
  return {
    settings,
    floor,
    spurs: found.spurs,
    explanations: mixing.explanations,
    combs,
    notSeen: attribution.notSeen.filter(({ source }) => !mixing.combs.some((comb) => comb.source === source)),
    below,
    families: mixing.families,
    spreads: mixing.spreads,
    warnings: [...floor.warnings, ...found.warnings, ...attribution.warnings],
  };
}
