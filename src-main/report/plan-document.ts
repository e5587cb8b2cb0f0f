import type { InputProblem } from '../model/input-problem.ts';
import type { Plan, Planning, PlanRisks, SourceChannels } from '../model/plan.ts';
import { plainJson, type Json } from './plain-json.ts';
import { problemDocument } from './problem-document.ts';

/** A search with what else is to be known of each of its plans, and which channels its sources take, in the order of `[today, ...plans]`. */
export interface ReportedPlanning {
  readonly planning: Planning;
  readonly risks: readonly PlanRisks[];
  readonly channels: readonly (readonly SourceChannels[])[];
}

/** The JSON document of `plan`; fields of the contract first. Null: no plan could be made. */
export function planDocument(reported: ReportedPlanning | null, seed: number, problems: readonly InputProblem[]): Json {
  if (reported === null)
    return plainJson({
      schema: 'spurledger.plan/1',
      seed,
      bands: [],
      today: null,
      plans: [],
      bound_gap: null,
      problems: problems.map(problemDocument),
    });
  const { planning, risks, channels } = reported;
  return plainJson({
    schema: 'spurledger.plan/1',
    seed: planning.settings.seed,
    bands: planning.bands.map(({ name, channels }) => ({ name, channels })),
    today: plan(planning.today, risks[0], channels[0]),
    plans: planning.plans.map((one, i) => plan(one, risks[i + 1], channels[i + 1])),
    bound_gap: planning.boundGap,
    lower_bound_weight: planning.lowerBoundWeight,
    proven: planning.isExact,
    complete: planning.isComplete,
    settings: {
      temperature_span_k: planning.settings.temperatureSpanK,
      leakage_hz: planning.settings.leakageHz,
      folded_harmonics: planning.settings.foldedHarmonics,
      choices_of_a_range: planning.settings.choicesOfARange,
      offer_locks: planning.settings.offerLocks,
      draws: planning.settings.draws,
      effort: planning.settings.effort,
      proof_effort: planning.settings.proofEffort,
    },
    common_clocks: planning.commonClocks.map((clock) => ({
      clock_hz: clock.clockHz,
      spacing_hz: clock.spacingHz,
      lost_weight: clock.lostWeight,
      lost_channels: clock.lostChannels,
      dividers: clock.dividers.map(({ source, divider, frequencyHz }) => ({
        source,
        divider,
        frequency_hz: frequencyHz,
      })),
    })),
    assumptions: [...planning.assumptions],
    warnings: [...planning.warnings],
    problems: problems.map(problemDocument),
  });
}

function plan(one: Plan, risks: PlanRisks | undefined, channels: readonly SourceChannels[] | undefined) {
  return {
    settings: one.settings.map((setting) => ({
      source: setting.source,
      nominal_hz: setting.nominalHz,
      locked_to: setting.lockedTo,
      lock_numerator: setting.lockNumerator,
      lock_denominator: setting.lockDenominator,
    })),
    changes: one.changes,
    lost_weight: one.lostWeight,
    lost_channels: one.lostChannels,
    sources: one.sources.map((source, i) => ({
      source: source.source,
      sole_channels: source.soleChannels,
      shared_channels: source.sharedChannels,
      half_width_ppm: source.halfWidthPpm,
      tolerance: source.toleranceStated ? 'stated' : 'default of its kind',
      blurs_from_harmonic: source.blursFromHarmonic,
      blurs_in_band: source.blursInBand,
      changed: source.changed,
      bands: (channels?.[i]?.bands ?? []).map((at) => ({
        name: at.band,
        sole_channels: at.soleChannels,
        shared_channels: at.sharedChannels,
        // counted from 1 at the low end of the band
        channels: at.runs.map(([first, last]) => (first === last ? `${first}` : `${first}-${last}`)).join(' '),
      })),
    })),
    bands: one.bands.map(({ name, channels, lost }) => ({ name, channels, lost_channels: lost })),
    ...(risks === undefined ? {} : risksOf(risks)),
  };
}

function risksOf({ beats, inStep, lostLocks, robustness }: PlanRisks) {
  return {
    beats: beats.map((beat) => ({
      first: beat.first,
      first_harmonic: beat.firstHarmonic,
      second: beat.second,
      second_harmonic: beat.secondHarmonic,
      sign: beat.sign,
      low_hz: beat.lowHz,
      high_hz: beat.highHz,
      band: beat.band,
      channels: beat.channels,
    })),
    in_step: inStep.map((pair) => ({
      first: pair.first,
      second: pair.second,
      common_hz: pair.commonHz,
      lines_in_bands: pair.linesInBands,
      rise_db: pair.riseDb,
      delay_s: pair.delayS,
      lowest_line_hz: pair.lowestLineHz,
    })),
    lost_locks: lostLocks.map((lock) => ({
      source: lock.source,
      lost_weight: lock.lostWeight,
      lost_channels: lock.lostChannels,
    })),
    robustness: {
      draws: robustness.draws,
      worst_channels: robustness.worstChannels,
      median_channels: robustness.medianChannels,
      low_channels: robustness.lowChannels,
      high_channels: robustness.highChannels,
    },
  };
}
