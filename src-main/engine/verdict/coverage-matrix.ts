import type { Band } from '../../model/band.ts';
import type { Coverage, CoverageCell } from '../../model/coverage.ts';
import type { Requirement, TemperatureRange } from '../../model/requirement.ts';
import { sameWord } from './dispositions.ts';
import type { Reading } from './judged-capture.ts';

/** One combination that is asked for or was measured. */
interface Wanted {
  readonly mode: string | null;
  readonly temperature: TemperatureRange | null;
  readonly band: string;
  readonly point: string;
}

export const NO_POINT = 'no measuring point';

/**
 * Modes × temperatures × bands × points: all that a requirement asks for, and all that captures were taken of, so that a hole stands in
 * plain sight. Captures without a stated temperature are in no range; without a stated mode in no mode.
 */
export function coverageMatrix(
  requirements: readonly { readonly requirement: Requirement; readonly points: readonly string[] }[],
  bands: readonly Band[],
  readings: readonly Reading[],
): Coverage {
  const required = new Map<string, Wanted>();
  for (const { requirement, points } of requirements)
    for (const band of requirement.bands)
      for (const mode of orAny(requirement.modes))
        for (const temperature of orAny(requirement.temperatures))
          for (const point of points) {
            const wanted = { mode, temperature, band, point };
            required.set(keyOf(wanted), wanted);
          }
  const all = new Map(required);
  for (const reading of readings)
    for (const band of bands) {
      const taken = {
        mode: reading.capture.triaged.condition?.mode ?? null,
        temperature: null,
        band: band.name,
        point: reading.capture.point?.name ?? NO_POINT,
      };
      if (shareOf([reading], band) > 0 && !all.has(keyOf(taken))) all.set(keyOf(taken), taken);
    }
  const cells = [...all].map(([key, wanted]): CoverageCell => {
    const band = bands.find(({ name }) => name === wanted.band);
    const here = readings.filter(
      (reading) => matches(reading, wanted) && band !== undefined && shareOf([reading], band) > 0,
    );
    return {
      ...wanted,
      captureIds: here.map(({ capture }) => capture.captureId),
      coveredShare: band === undefined ? 0 : shareOf(here, band),
      isRequired: required.has(key),
    };
  });
  return {
    modes: unique(
      cells.map(({ mode }) => mode),
      (mode) => mode ?? '',
    ),
    temperatures: unique(
      cells.map(({ temperature }) => temperature),
      rangeKey,
    ),
    bands: unique(
      cells.map(({ band }) => band),
      (band) => band,
    ),
    points: unique(
      cells.map(({ point }) => point),
      (point) => point,
    ),
    cells,
    gaps: cells.filter(({ isRequired, coveredShare }) => isRequired && coveredShare < 0.999).length,
  };
}

function orAny<T>(list: readonly T[]): readonly (T | null)[] {
  return list.length === 0 ? [null] : list;
}

function keyOf({ mode, temperature, band, point }: Wanted): string {
  return JSON.stringify([mode?.trim().toLowerCase() ?? null, rangeKey(temperature), band, point]);
}

function rangeKey(range: TemperatureRange | null): string {
  return range === null ? '' : `${range.lowC}…${range.highC}`;
}

function unique<T>(values: readonly T[], key: (value: T) => string): T[] {
  return [...new Map(values.map((value) => [key(value), value])).values()];
}

/** Does a capture lie in one cell of the matrix? A cell that leaves mode or temperature open takes every capture. */
export function matches(
  { capture }: Reading,
  asked: { readonly mode: string | null; readonly temperature: TemperatureRange | null; readonly point: string | null },
): boolean {
  const { condition } = capture.triaged;
  const point = capture.point?.name ?? NO_POINT;
  if (asked.point !== null && !sameWord(point, asked.point)) return false;
  if (asked.mode !== null && (condition?.mode == null || !sameWord(condition.mode, asked.mode))) return false;
  const { temperature } = asked;
  if (temperature === null) return true;
  const at = condition?.temperatureC ?? null;
  return at !== null && temperature.lowC <= at && at <= temperature.highC;
}

/** Share of a band that captures span together, 0…1; holes inside a capture are the verdict's to find. */
function shareOf(readings: readonly Reading[], { lowHz, highHz }: Band): number {
  const spans = readings
    .map(({ capture, spacingHz }): [number, number] => {
      const { frequencyHz } = capture.triaged.trace;
      return [frequencyHz[0]! - spacingHz / 2, frequencyHz[frequencyHz.length - 1]! + spacingHz / 2];
    })
    .sort((a, b) => a[0] - b[0]);
  let covered = 0;
  let from = lowHz;
  for (const [low, high] of spans) {
    const start = Math.max(from, low);
    const end = Math.min(highHz, high);
    if (end > start) {
      covered += end - start;
      from = end;
    }
  }
  return covered / (highHz - lowHz);
}
