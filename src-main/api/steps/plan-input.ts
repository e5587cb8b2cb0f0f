import type { TryPlanInput } from '../../engine/try-plan.ts';
import type { MeasuredCapture } from '../../engine/check-plan.ts';
import type { PlanBasis } from '../../model/adopted-plan.ts';
import { DEFAULT_PLAN_SETTINGS, type SourceSetting } from '../../model/plan.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import type { MeasuredSource } from '../contract/plan-calls.ts';
import { chainDoubt } from './chain-doubt.ts';
import { withoutId } from './register-tables.ts';
import { sourcesOf } from './take-triage.ts';

/** A measured fundamental is taken to lie within ± three of its standard deviations. */
const SIGMAS = 3;

/** The register's sources and bands as a plan takes them. @throws Refused where a source left out clocks one that is not */
export function planInput(parts: ApiParts, basis: PlanBasis, chosen: readonly SourceSetting[]): TryPlanInput {
  const { temperatureSpanK, leakageHz, offerLocks, seed, useMeasured, leftOut } = basis;
  const measured = useMeasured ? measuredSources(parts) : [];
  const todayPpm: Record<string, number> = {};
  const sources = sourcesOf(parts)
    .filter(({ designator }) => !leftOut.includes(designator))
    .map((source) => {
      const found = measured.find((one) => one.source === source.designator);
      if (found === undefined || source.lock !== null) return source;
      todayPpm[source.designator] = (1e6 * SIGMAS * found.fundamentalSigmaHz) / found.fundamentalHz;
      return { ...source, nominalHz: found.fundamentalHz };
    });
  const orphan = sources.find(({ lock }) => lock !== null && leftOut.includes(lock.to));
  if (orphan !== undefined)
    throw new Refused(`${orphan.designator} is locked to ${orphan.lock!.to}: leave both out, or neither.`);
  return {
    sources,
    bands: parts.session.register.bands.list().map(withoutId),
    settings: { ...DEFAULT_PLAN_SETTINGS, temperatureSpanK, leakageHz, offerLocks, seed },
    todayPpm,
    chosen: chosen.filter(({ source }) => !leftOut.includes(source)),
  };
}

/** Captures of the item with the triage that was kept of them, the latest first. */
export function triagedCaptures({ session }: ApiParts) {
  return session.register.captures
    .list()
    .filter(({ condition }) => condition.role === 'item')
    .sort((a, b) => b.id - a.id)
    .flatMap((capture) => {
      const kept = session.triage(capture);
      return kept === null || kept.traceIndex !== capture.traceIndex ? [] : [{ capture, triage: kept.triage }];
    });
}

/** For each source the latest capture in which its comb was found. */
export function measuredSources(parts: ApiParts): MeasuredSource[] {
  const { session } = parts;
  const bands = parts.session.register.bands.list();
  const found = new Map<string, MeasuredSource>();
  for (const { capture, triage } of triagedCaptures(parts))
    for (const { source, fundamentalHz, fundamentalSigmaHz } of triage.combs) {
      if (source === null || found.has(source)) continue;
      const own = triage.spurs.flatMap((spur, i) => {
        const explanation = triage.explanations[i]!;
        const [candidate] = explanation.candidates;
        const isOwn = explanation.cause === 'source' && candidate?.source === source;
        const inBand = bands.some(({ lowHz, highHz }) => spur.frequencyHz >= lowHz && spur.frequencyHz <= highHz);
        return isOwn && inBand ? [{ spur, harmonic: candidate.harmonic }] : [];
      });
      const top = own.sort((a, b) => b.spur.levelDb - a.spur.levelDb)[0];
      found.set(source, {
        source,
        fundamentalHz,
        fundamentalSigmaHz,
        file: capture.file,
        loudest:
          top === undefined
            ? null
            : {
                harmonic: top.harmonic,
                frequencyHz: top.spur.frequencyHz,
                levelDb: top.spur.levelDb,
                levelSigmaDb: Math.hypot(
                  top.spur.levelSigmaDb,
                  chainDoubt(session, capture.id, capture.traceIndex, [top.spur])?.sigmaDb[0] ?? 0,
                ),
                unit: capture.traces[capture.traceIndex]?.unit.name ?? 'unknown',
              },
      });
    }
  return [...found.values()];
}

/** A triaged capture as the check of a plan takes it. */
export function measuredCapture(
  capture: StoredCapture,
  triage: ReturnType<typeof triagedCaptures>[number]['triage'],
): MeasuredCapture {
  const { startHz, stopHz } = capture.traces[capture.traceIndex]!;
  const { spurs, explanations, combs } = triage;
  return { file: capture.file, startHz, stopHz, spurs, explanations, combs };
}
