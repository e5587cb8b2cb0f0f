import { judgeBuild } from '../../src-main/engine/judge-build.ts';
import { VERDICT_KINDS, verdictCase, type VerdictKind } from './cases/verdict-case.ts';

export interface VerdictScore {
  cases: number;
  /** Said to hold while a line truly exceeds. */
  falseHolds: number;
  falseShort: number;
  /** Wrong ruling or wrong reason, in words. */
  readonly faults: string[];
  readonly byKind: Record<string, { cases: number; right: number; said: Record<string, number> }>;
  /** Of the builds within the doubt: truly over by any amount, and said to hold all the same; and the other way round. */
  near: { over: number; saidHolds: number; under: number; saidShort: number };
}

/** Judges builds of known truth, so many of every kind. */
export function runVerdicts(
  perKind: number,
  firstSeed: number,
  kinds: readonly VerdictKind[] = VERDICT_KINDS,
): VerdictScore {
  const score: VerdictScore = {
    cases: 0,
    falseHolds: 0,
    falseShort: 0,
    faults: [],
    byKind: {},
    near: { over: 0, saidHolds: 0, under: 0, saidShort: 0 },
  };
  for (const kind of kinds)
    for (let i = 0; i < perKind; i++) {
      const { input, right, trueExcessDb, seed } = verdictCase(kind, firstSeed + i);
      const [verdict] = judgeBuild(input).verdicts;
      const said = verdict!.reason ?? verdict!.ruling;
      const isRight = right.some(({ ruling, reason }) => ruling === verdict!.ruling && reason === verdict!.reason);
      const tally = (score.byKind[kind] ??= { cases: 0, right: 0, said: {} });
      score.cases++;
      tally.cases++;
      tally.said[said] = (tally.said[said] ?? 0) + 1;
      if (isRight) tally.right++;
      else score.faults.push(`${kind} seed ${seed}: ${verdict!.why}`);
      const isOver = trueExcessDb > 0;
      if (kind === 'near') {
        score.near[isOver ? 'over' : 'under']++;
        if (isOver && verdict!.ruling === 'holds') score.near.saidHolds++;
        if (!isOver && verdict!.ruling === 'falls short') score.near.saidShort++;
        continue;
      }
      if (isOver && verdict!.ruling === 'holds') score.falseHolds++;
      if (!isOver && verdict!.ruling === 'falls short') score.falseShort++;
    }
  return score;
}
