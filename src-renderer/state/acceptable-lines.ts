import type { Disposition, DispositionSubject } from '../../src-main/model/disposition.ts';
import type { DecidingLine, Verdict } from '../../src-main/model/verdict.ts';
import type { SpurRow } from './spur-rows.ts';

export type LineSubject = Extract<DispositionSubject, { kind: 'line' }>;

/**
 * The lines that can be accepted as they stand: the one an acceptance names already, those that keep a verdict from holding, and the
 * spur chosen on Bench. A line without a measured level or without its doubt is none of them: nobody can say later that it grew.
 */
export function acceptableLines(
  kept: Disposition | null,
  first: Verdict | null,
  verdicts: readonly Verdict[],
  chosen: { row: SpurRow; unit: string } | null,
): readonly LineSubject[] {
  const deciding = [...(first === null ? [] : [first]), ...verdicts.filter(({ ruling }) => ruling !== 'holds')];
  const all = [
    ...(kept?.subject.kind === 'line' ? [kept.subject] : []),
    ...deciding.flatMap(({ decidedBy }) => (decidedBy === null ? [] : [ofVerdict(decidedBy)])),
    ...(chosen === null ? [] : [ofSpur(chosen.row, chosen.unit)]),
  ].filter((line) => line !== null);
  const keyOf = ({ source, harmonic, frequencyHz, unit }: LineSubject) =>
    JSON.stringify([source, harmonic, frequencyHz, unit]);
  return all.filter((line, i) => all.findIndex((other) => keyOf(other) === keyOf(line)) === i);
}

function ofVerdict({
  spurIndex,
  source,
  harmonic,
  frequencyHz,
  levelDb,
  levelSigmaDb,
  unit,
}: DecidingLine): LineSubject | null {
  if (spurIndex === null || levelDb === null || levelSigmaDb === null) return null;
  return { kind: 'line', source, harmonic, frequencyHz, levelDb, levelSigmaDb, unit };
}

/** Named as the tool names it: by that name a later judgement finds it again. */
export function ofSpur({ spur, cause, explanation }: SpurRow, unit: string): LineSubject | null {
  if (!Number.isFinite(spur.levelDb) || !Number.isFinite(spur.levelSigmaDb)) return null;
  const own = cause === 'source' ? explanation.candidates[0] : undefined;
  const source = own?.source ?? null;
  return {
    kind: 'line',
    source,
    harmonic: source === null ? null : (own?.harmonic ?? null),
    frequencyHz: spur.frequencyHz,
    levelDb: spur.levelDb,
    levelSigmaDb: spur.levelSigmaDb,
    unit,
  };
}
