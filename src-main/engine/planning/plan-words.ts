import type { PlanProblem } from './plan-problem.ts';
import type { SourceChoices } from './source-choices.ts';
import { frequencyRangeOf } from './frequency-range.ts';

/** What the figures of a plan rest on, in sentences. */
export function assumptionsOf(problem: PlanProblem, choices: SourceChoices): string[] {
  const { settings, sources, grid } = problem;
  const said = [
    'Channels are counted, not levels: a channel is lost where a line may stand, however weak. Only captures tell levels.',
    'All sources run at once.',
    'A line on the edge between two channels costs both.',
    settings.leakageHz > 0
      ? `A line also costs what lies within ${settings.leakageHz} Hz beside it (leakage or filter skirt).`
      : 'No leakage and no filter skirt is counted beside a line: state one if the receiver has it.',
  ];
  if (sources.some(({ driftPpmPerK }) => (driftPpmPerK ?? 0) !== 0))
    said.push(`Drift is counted over ±${settings.temperatureSpanK} K.`);
  const undrifting = sources.filter(({ driftPpmPerK, lock }) => driftPpmPerK === null && lock === null);
  if (undrifting.length > 0)
    said.push(
      `No drift is stated for ${undrifting.map(({ designator }) => designator).join(', ')}: none is counted beyond the tolerance.`,
    );
  const defaulted = sources.filter(({ tolerancePpm, lock }) => tolerancePpm === null && lock === null);
  if (defaulted.length > 0)
    said.push(
      `No tolerance is stated for ${defaulted.map(({ designator }) => designator).join(', ')}: the default of the kind is taken.`,
    );
  if (sources.some(({ maxHarmonic }) => maxHarmonic === null))
    said.push('A source without max_harmonic is followed up to the top of the highest band.');
  if (grid.bands.some(({ band }) => band.sampleRateHz !== null))
    said.push(`Through folding it is followed at least to harmonic ${settings.foldedHarmonics}.`);
  if (grid.bands.some(({ band }) => band.localOscillatorHz !== null))
    said.push('The image of a mixing receiver counts in full, since its rejection is not stated.');
  if (grid.bands.some(({ band }) => band.channelHz === null))
    said.push('A band without channels counts as one channel.');
  if (choices.changeable.some((place) => sources[place]!.lock === null && choices.masters[place]!.length > 0))
    said.push('A source with a range is taken to have a synchronisation input: check before a lock is built.');
  if (choices.changeable.some((place) => sources[place]!.adjust!.stepHz === null && sources[place]!.lock === null))
    said.push(`Of a range without a step ${settings.choicesOfARange} evenly spaced frequencies are tried.`);
  return said;
}

/** What is odd about the lists, though a plan can be made. */
export function warningsOf(problem: PlanProblem, choices: SourceChoices): string[] {
  const warnings: string[] = [];
  for (const [place, source] of problem.sources.entries()) {
    const { frequencyHz, root } = problem.resolve(place, problem.today);
    const { adjust, designator } = source;
    if (adjust !== null && (frequencyHz < adjust.lowHz || frequencyHz > adjust.highHz))
      warnings.push(
        `${designator} runs at ${frequencyHz} Hz today, outside its own range of ${adjust.lowHz} … ${adjust.highHz} Hz.`,
      );
    if (adjust !== null && !choices.changeable.includes(place))
      warnings.push(`${designator} has a range but no choice in it, so it stays as it is.`);
    if (source.lock !== null && source.tolerancePpm !== null && source.tolerancePpm > 0) {
      const { halfWidth } = frequencyRangeOf(problem.sources[root]!, problem.settings.temperatureSpanK);
      warnings.push(
        `${designator} is locked: its own tolerance of ±${source.tolerancePpm} ppm counts only once the lock is lost; until then it has ±${halfWidth * 1e6} ppm of ${problem.sources[root]!.designator}.`,
      );
    }
  }
  return warnings;
}
