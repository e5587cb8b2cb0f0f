import type { RecordingAnnotation } from '../../model/recording.ts';
import type { Triage } from '../../model/triage.ts';

/** The spurs of a recording's spectrum as remarks about the whole record (to its end), each as wide as its line. */
export function spurAnnotations(
  { spurs, explanations }: Pick<Triage, 'spurs' | 'explanations'>,
  chainSigmaDb: readonly number[] | null = null,
): RecordingAnnotation[] {
  return spurs.map(({ frequencyHz, widthHz, levelDb, levelSigmaDb }, i) => {
    const { cause, candidates, why } = explanations[i]!;
    const [first] = candidates;
    return {
      startSample: 0,
      sampleCount: null,
      lowHz: frequencyHz - widthHz / 2,
      highHz: frequencyHz + widthHz / 2,
      label: cause === 'source' && first !== undefined ? `${first.source} × ${first.harmonic}` : cause,
      comment: `${frequencyHz} Hz, ${levelDb.toFixed(2)} ± ${Math.hypot(levelSigmaDb, chainSigmaDb?.[i] ?? 0).toFixed(2)} dB of the trace’s unit. ${why}`,
    };
  });
}
