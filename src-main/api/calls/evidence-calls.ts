import { decisionStandings } from '../../engine/evidence/decision-standing.ts';
import { decisionsOn } from '../../model/decision.ts';
import type { ReferenceUse } from '../../model/evidence.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { ApiParts } from '../api-parts.ts';
import type { EvidenceCalls, EvidenceView } from '../contract/evidence-calls.ts';
import type { KeptTriage } from '../session.ts';
import { placedCondition } from '../steps/placed-condition.ts';
import { freshTriage, freshTriages, sourcesOf, triagedTrace } from '../steps/take-triage.ts';
import { driftsOf, uselessReferences, usefulReferences, weighCapture } from '../steps/weigh-captures.ts';

/** What captures say of each other, and how decisions stand against it. Weighing is quick; only missing triages are work for a worker. */
export function evidenceCalls(parts: ApiParts): EvidenceCalls {
  const { session } = parts;

  /** The capture and every other that its condition lets speak; and those that cannot, with the reason. */
  function castOf(captureId: number): { cast: StoredCapture[]; useless: ReferenceUse[] } {
    const { register } = session;
    const subject = register.captures.get(captureId);
    const others = register.captures.list().filter(({ id }) => id !== captureId);
    const named = (capture: StoredCapture) => ({
      file: capture.file,
      condition: placedCondition(capture, register),
    });
    const conditions = others.map(named);
    const useful = usefulReferences(named(subject), conditions, sourcesOf(parts));
    return {
      cast: [subject, ...useful.map((i) => others[i]!)],
      useless: uselessReferences(named(subject), conditions, sourcesOf(parts)),
    };
  }

  const loaded = (capture: StoredCapture, kept: KeptTriage): TriagedTrace => ({
    ...triagedTrace(parts, capture, kept),
    condition: placedCondition(capture, session.register),
  });

  function weighed({ cast, useless }: ReturnType<typeof castOf>, kept: readonly KeptTriage[]): EvidenceView {
    const [subject, ...others] = cast.map((capture, i) => loaded(capture, kept[i]!));
    const { settings: _, ...result } = weighCapture(subject!, others, sourcesOf(parts));
    const captureId = cast[0]!.id;
    const decisions = decisionsOn(captureId, session.register.decisions.list());
    return {
      captureId,
      ...result,
      references: [...result.references, ...useless],
      decisions: decisionStandings(decisions, subject!.triage.spurs, result.explanations),
    };
  }

  return {
    async evidenceRun({ captureId, jobId }) {
      const all = castOf(captureId);
      const kept = await freshTriages(parts, all.cast, jobId, (fraction, step) =>
        session.settings.emit('progress', { jobId, fraction, step }),
      );
      return weighed(all, kept);
    },
    evidenceGet({ captureId }) {
      const all = castOf(captureId);
      const kept = all.cast.map((capture) => freshTriage(parts, capture)).filter((triage) => triage !== null);
      return Promise.resolve(kept.length === all.cast.length ? weighed(all, kept) : null);
    },
    driftOffers() {
      const { register } = session;
      const captures = register.captures
        .list()
        .filter(({ condition }) => condition.temperatureC !== null && condition.role === 'item')
        .flatMap((capture) => {
          const kept = freshTriage(parts, capture);
          return kept === null ? [] : [loaded(capture, kept)];
        });
      return Promise.resolve(driftsOf(captures, sourcesOf(parts)));
    },
  };
}
