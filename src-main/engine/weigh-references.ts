import type { Candidate } from '../model/attribution.ts';
import type { Evidence } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { Source } from '../model/source.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { attenuationStep } from './evidence/attenuation-step.ts';
import { offEvidence, roleEvidence, terminatedEvidence } from './evidence/clauses.ts';
import { findLevel } from './evidence/level-finding.ts';
import type { WeighedLine } from './evidence/sight.ts';
import { statusLookup } from './evidence/source-status.ts';
import { terminationPlace } from './evidence/termination-place.ts';
import type { Reference } from './follow-combs.ts';

/** What the capture's own role and the references of a role say of one line. */
export interface RoleFindings {
  readonly evidence: readonly Evidence[];
  /** False where a terminated capture that shows the line had its load elsewhere, or nobody said where. */
  readonly terminatedAtAnalyser: boolean;
}

type Ask = (line: WeighedLine, sources: readonly string[]) => Evidence | null;

/**
 * Prepares the evidence by role: the capture's own (all off, terminated), then each reference with all off or terminated. The answer for a
 * line takes its candidates: what is stated to run, or may run, in an `off` capture is not proven to be from outside by it.
 */
export function roleFindings(
  subject: TriagedTrace,
  references: readonly Reference[],
  sources: readonly Source[],
  unit: string,
  settings: EvidenceSettings,
): (line: WeighedLine, candidates: readonly Candidate[]) => RoleFindings {
  const own = ownRole(subject, sources);
  const asks = references.flatMap((reference): Ask[] => {
    if (reference.choice.as === 'terminated') return [askTerminated(reference, subject, unit, settings)];
    if (reference.choice.as === 'sources-off' && subject.condition?.role !== 'off')
      return [askOff(reference, sources, unit, settings)];
    return [];
  });
  const places = new Map(
    references
      .filter(({ choice }) => choice.as === 'terminated')
      .map(({ triaged }) => [triaged.file, terminationPlace(triaged.condition!).place]),
  );
  return (line, candidates) => {
    const named = [...new Set(candidates.flatMap(({ source }) => (source === null ? [] : [source])))];
    const evidence = [own, ...asks].map((ask) => ask(line, named)).filter((one) => one !== null);
    const elsewhere = evidence.some(
      ({ kind, file, supports }) =>
        kind === 'terminated' && supports.length > 0 && places.get(file ?? '') !== 'analyser',
    );
    return { evidence, terminatedAtAnalyser: !elsewhere };
  };
}

function ownRole({ condition, file }: TriagedTrace, sources: readonly Source[]): Ask {
  if (condition?.role === 'terminated') {
    const { place } = terminationPlace(condition);
    return () => roleEvidence('terminated', file, place);
  }
  if (condition?.role !== 'off') return () => null;
  const status = statusLookup(condition, sources);
  return (_, named) => (named.every((source) => status(source) === 'off') ? roleEvidence('off', file, null) : null);
}

function askTerminated(reference: Reference, subject: TriagedTrace, unit: string, settings: EvidenceSettings): Ask {
  const { triaged, look } = reference;
  const { place } = terminationPlace(triaged.condition!);
  // what the analyser makes stands behind its attenuator: shown higher by what the correction adds
  const expectedDb = residualShiftDb(reference, subject);
  return (line) => {
    const finding = findLevel(line, look(line, line.frequencyHz, 0), expectedDb, settings);
    return terminatedEvidence(line, finding, triaged.file, unit, place);
  };
}

function askOff(
  { triaged, look }: Reference,
  sources: readonly Source[],
  unit: string,
  settings: EvidenceSettings,
): Ask {
  const status = statusLookup(triaged.condition, sources);
  return (line, named) => {
    const left = named.filter((source) => status(source) !== 'off');
    const finding = findLevel(line, look(line, line.frequencyHz, 0), 0, settings);
    return offEvidence(line, finding, triaged.file, unit, left.length === 0, left);
  };
}

/** What the difference of attenuation does to a residual line of the analyser, whose levels are corrected unless a pad outside is not. */
function residualShiftDb({ here, there, triaged }: Reference, subject: TriagedTrace): number {
  const step = attenuationStep(
    { settings: here.taken, condition: subject.condition },
    { settings: there.taken, condition: triaged.condition },
  );
  return step === null || step.assumedZero || step.stated === false ? 0 : step.stepDb;
}
