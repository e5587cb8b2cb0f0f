import type { Band } from '../../model/band.ts';
import { checkSources } from '../../model/check-source.ts';
import { InputError } from '../../model/input-problem.ts';
import type { Source } from '../../model/source.ts';
import { resolvedFrequency } from '../../model/source-tree.ts';

/** What the user calls the two lists, for the errors. */
export interface PlanInputNames {
  readonly sources: string;
  readonly bands: string;
}

/** A nominal frequency this far from what its lock gives, relative, is more than rounding. A choice of this tool. */
const LOCK_DISAGREEMENT = 1e-3;
/** More steps than this are a slip of a unit. */
export const MOST_STEPS = 100_000;
/** More channels than this are a slip of a unit: 10⁷ are the points of the longest capture. */
const MOST_CHANNELS = 1e7;

/**
 * Refuses what no plan can be made of: nothing to protect, nothing to place, a channel wider than its band, sources whose numbers, locks
 * or ranges contradict each other.
 *
 * @throws InputError
 */
export function checkPlanInput(sources: readonly Source[], bands: readonly Band[], names: PlanInputNames): void {
  checkBands(bands, names.bands);
  if (sources.length === 0)
    throw refusal(
      names.sources,
      'whole table',
      'no source',
      'at least one switching source',
      'Enter the sources first.',
    );
  const [problem] = checkSources(sources);
  if (problem !== undefined)
    throw refusal(
      names.sources,
      `${sources[problem.index]!.designator}, ${problem.field}`,
      problem.found,
      problem.expected,
      problem.wayOut,
    );
  for (const source of sources) {
    checkLock(source, sources, names.sources);
    checkSteps(source, names.sources);
  }
}

function checkSteps({ designator, adjust }: Source, file: string): void {
  if (adjust === null || adjust.stepHz === null) return;
  const steps = (adjust.highHz - adjust.lowHz) / adjust.stepHz;
  if (steps > MOST_STEPS)
    throw refusal(
      file,
      `${designator}, adjust`,
      `${Math.round(steps)} steps`,
      `at most ${MOST_STEPS}`,
      'Make the step larger, or leave it empty for any frequency of the range.',
    );
}

function checkBands(bands: readonly Band[], file: string): void {
  if (bands.length === 0)
    throw refusal(
      file,
      'whole table',
      'no band',
      'at least one receive band to protect',
      'Enter the bands first: without one no channel can be lost.',
    );
  let channels = 0;
  for (const [i, band] of bands.entries()) {
    const place = `band ${band.name}`;
    if (!(band.highHz > band.lowHz))
      throw refusal(file, place, `${band.lowHz} … ${band.highHz} Hz`, 'a range from low to high', 'Exchange the ends.');
    const widthHz = band.highHz - band.lowHz;
    if (band.channelHz !== null && !(band.channelHz > 0 && band.channelHz <= widthHz))
      throw refusal(
        file,
        place,
        `a channel of ${band.channelHz} Hz`,
        `above 0 and at most the band's width, ${widthHz} Hz`,
        'Make the channel narrower.',
      );
    if (!(band.weight >= 0 && Number.isFinite(band.weight)))
      throw refusal(
        file,
        place,
        `a weight of ${band.weight}`,
        'a number from 0',
        'Leave it at 1 where all count alike.',
      );
    channels += widthHz / (band.channelHz ?? widthHz);
    const over = bands.slice(0, i).find((other) => other.lowHz < band.highHz && band.lowHz < other.highHz);
    if (over !== undefined)
      throw refusal(
        file,
        place,
        `an overlap with ${over.name}`,
        'bands that do not overlap',
        'Part them at one frequency.',
      );
  }
  if (channels > MOST_CHANNELS)
    throw refusal(
      file,
      'whole table',
      `${Math.round(channels)} channels`,
      `at most ${MOST_CHANNELS}`,
      'Make the channels wider, or plan fewer bands at once.',
    );
}

/** The frequency of a locked source is its master's times the ratio: a nominal frequency that says otherwise contradicts it. */
function checkLock(source: Source, sources: readonly Source[], file: string): void {
  if (source.lock === null) return;
  const resolved = resolvedFrequency(source, sources)!;
  if (Math.abs(source.nominalHz / resolved.frequencyHz - 1) <= LOCK_DISAGREEMENT) return;
  const { numerator, denominator } = source.lock;
  throw refusal(
    file,
    `${source.designator}, nominal_hz`,
    `${source.nominalHz} Hz beside a lock to ${source.lock.to} × ${numerator} / ${denominator}, which gives ${resolved.frequencyHz} Hz`,
    'one frequency for one source',
    'Correct the ratio or the nominal frequency; a plan must know which of the two is built.',
  );
}

function refusal(file: string, place: string, found: string, expected: string, wayOut: string): InputError {
  return new InputError({ file, place, found, expected, wayOut });
}
