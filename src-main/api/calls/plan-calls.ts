import { checkPlan } from '../../engine/check-plan.ts';
import { planCurve, planMap } from '../../engine/plan-curves.ts';
import { scoreGuess } from '../../engine/score-guess.ts';
import { planRisks, tryPlan } from '../../engine/try-plan.ts';
import type { PlanBasis } from '../../model/adopted-plan.ts';
import type { SourceSetting } from '../../model/plan.ts';
import type { ApiParts } from '../api-parts.ts';
import type { PlanCalls } from '../contract/plan-calls.ts';
import { measuredCapture, measuredSources, planInput, triagedCaptures } from '../steps/plan-input.ts';
import { mustBeThere } from '../steps/must-be-there.ts';

/** Work of a quick search, millions of words: about half a second on one core. */
const QUICK_EFFORT = 60;

/** Better switching frequencies: searched, tried by hand, adopted, and held against what was measured later. */
export function planCalls(parts: ApiParts): PlanCalls {
  const { session, jobs } = parts;
  const register = () => session.register;
  const inputOf = (basis: PlanBasis, chosen: readonly SourceSetting[] = []) => planInput(parts, basis, chosen);
  return {
    planRun({ basis, quick, jobId }) {
      const { settings, ...input } = inputOf(basis);
      return jobs.run(
        'plan',
        { ...input, settings: quick ? { ...settings, effort: QUICK_EFFORT, proofEffort: QUICK_EFFORT } : settings },
        { jobId, onProgress: (fraction, step) => session.settings.emit('progress', { jobId, fraction, step }) },
      );
    },
    planTry({ basis, chosen }) {
      const input = inputOf(basis, chosen);
      return Promise.resolve({ ...tryPlan(input), today: tryPlan({ ...input, chosen: [] }) });
    },
    planRisks: ({ basis, chosen }) => Promise.resolve(planRisks(inputOf(basis, chosen))),
    planCurve: ({ basis, chosen, source, points }) => {
      const input = inputOf(basis, chosen);
      tryPlan(input);
      return Promise.resolve(planCurve(input, source, points));
    },
    planMap: ({ basis, chosen, first, second, columns, rows }) => {
      const input = inputOf(basis, chosen);
      tryPlan(input);
      return Promise.resolve(planMap(input, first, second, columns, rows));
    },
    planMeasured: () => Promise.resolve(measuredSources(parts)),
    planList: () => Promise.resolve(register().plans.list()),
    planAdopt({ title, basis, chosen, stateName, parentId }) {
      const { states, plans } = register();
      mustBeThere(states, parentId, 'state');
      const { plan, today } = { ...tryPlan(inputOf(basis, chosen)), today: tryPlan(inputOf(basis)) };
      const at = session.settings.now().toISOString();
      const adopted = register().step(() => {
        const state =
          stateName === null
            ? null
            : states.put(null, {
                name: stateName,
                description: `Planned: ${title}`,
                parentId,
                at,
                configuration: parentId === null ? [] : states.get(parentId)!.configuration,
              });
        return plans.put(null, {
          title,
          stateId: state?.id ?? null,
          basis,
          plan,
          lostChannelsBefore: today.plan.lostChannels,
          by: session.settings.who,
          at,
        });
      });
      session.changed(['plan', 'state']);
      return Promise.resolve(adopted);
    },
    planDrop({ id }) {
      register().plans.remove(id);
      session.changed(['plan']);
      return Promise.resolve();
    },
    planCheck({ id }) {
      mustBeThere(register().plans, id, 'plan');
      const { stateId, basis, plan } = register().plans.get(id)!;
      const captures = triagedCaptures(parts)
        .filter(({ capture }) => stateId !== null && capture.stateId === stateId)
        .map(({ capture, triage }) => measuredCapture(capture, triage));
      if (captures.length === 0) return Promise.resolve(null);
      // what was measured since must not change what was predicted
      const input = inputOf({ ...basis, useMeasured: false });
      const known = new Set(input.sources.map(({ designator }) => designator));
      const chosen = plan.settings.filter(
        ({ source, lockedTo }) => known.has(source) && (lockedTo === null || known.has(lockedTo)),
      );
      return Promise.resolve(checkPlan({ ...input, chosen }, captures));
    },
    guessScore({ captureId, fundamentalHz }) {
      const capture = register().captures.get(captureId);
      const kept = session.triage(capture);
      const trace = capture.traces[capture.traceIndex];
      if (kept === null || trace === undefined) return Promise.resolve(null);
      const { startHz, stopHz, points } = trace;
      const spacingHz = (stopHz - startHz) / Math.max(1, points - 1);
      return Promise.resolve(scoreGuess({ spurs: kept.triage.spurs, startHz, stopHz, spacingHz, fundamentalHz }));
    },
  };
}
