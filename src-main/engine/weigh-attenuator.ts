import type { Evidence } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { isCompensated, judgeAttenuation } from './evidence/attenuation.ts';
import { attenuationStep } from './evidence/attenuation-step.ts';
import { attenuatorEvidence, undecidedAttenuator, unstatedAttenuator } from './evidence/clauses.ts';
import type { WeighedLine } from './evidence/sight.ts';
import type { ReferenceLook } from './reference-look.ts';

/**
 * Prepares the attenuator evidence of one other capture: how far attenuation differs, whether levels are corrected for it, and then for
 * each line which origin fits. The evidence says so where one of these cannot be told.
 */
export function judgeAttenuator(
  reference: ReferenceLook & { readonly triaged: TriagedTrace },
  subject: TriagedTrace,
  lines: readonly WeighedLine[],
  unit: string,
  settings: EvidenceSettings,
): (line: number) => Evidence {
  const { triaged, here, there, look } = reference;
  const { file } = triaged;
  const step = attenuationStep(
    { settings: here.taken, condition: subject.condition },
    { settings: there.taken, condition: triaged.condition },
  );
  if (step === null) return () => unstatedAttenuator(file);
  const sights = lines.map((line) => look(line, line.frequencyHz, 0));
  const strongest = [...lines.keys()]
    .sort((i, j) => lines[j]!.levelDb - lines[i]!.levelDb)
    .flatMap((i) => {
      const sight = sights[i]!;
      if (sight.is !== 'seen' || sight.otherShape) return [];
      const isNamed = subject.triage.explanations[i]!.cause === 'source';
      return [{ changeDb: sight.levelDb - lines[i]!.levelDb, isNamed }];
    });
  const mode = isCompensated({
    stepDb: step.stepDb,
    stated: step.stated,
    floorChangeDb: floorChangeDb(reference),
    strongest,
  });
  if (mode.compensated === null) return () => undecidedAttenuator(file, step.stepDb, mode.from);
  const change = { stepDb: step.stepDb, compensated: mode.compensated };
  return (i) => {
    const said = attenuatorEvidence(judgeAttenuation(lines[i]!, sights[i]!, change, settings), change, file, unit);
    const how = [
      ...(step.stated === null
        ? [`taken as ${mode.compensated ? 'corrected' : 'not corrected'} since ${mode.from}`]
        : []),
      ...(step.assumedZero ? ['the attenuation that one of the two does not state is taken as 0 dB'] : []),
    ];
    return how.length === 0 ? said : { ...said, sentence: `${said.sentence} (${how.join('; ')})` };
  };
}

/** Median change of the floor over the common span, there minus here, in the same noise bandwidth; null where there is none in common. */
function floorChangeDb({ here, there, comparable }: ReferenceLook): number | null {
  if (!comparable) return null;
  const changes: number[] = [];
  const low = Math.max(here.frequencyHz[0]!, there.frequencyHz[0]!);
  const high = Math.min(here.frequencyHz.at(-1)!, there.frequencyHz.at(-1)!);
  if (!(high > low)) return null;
  for (let k = 0; k <= 100; k++) {
    const hz = low + ((high - low) * k) / 100;
    const at = (side: typeof here) => {
      const n = side.frequencyHz.length;
      const i = Math.round(((hz - side.frequencyHz[0]!) / (side.frequencyHz[n - 1]! - side.frequencyHz[0]!)) * (n - 1));
      return side.meanDb[Math.max(0, Math.min(n - 1, i))]! + side.offsetDb - 10 * Math.log10(side.noiseBandwidthHz);
    };
    changes.push(at(there) - at(here));
  }
  return changes.sort((a, b) => a - b)[changes.length >> 1]!;
}
