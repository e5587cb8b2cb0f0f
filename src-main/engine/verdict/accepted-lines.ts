import type { Band } from '../../model/band.ts';
import type { Disposition, JudgedDisposition } from '../../model/disposition.ts';
import { formatDecimal } from '../../units/format.ts';
import { grownWhy, isAcceptedLine, isOfLine } from './accepted-line.ts';
import type { BandLine } from './band-lines.ts';
import type { BandView } from './band-view.ts';
import { matches } from './coverage-matrix.ts';
import { scopeHolds, standingOf, type Asked, type JudgedBuild } from './dispositions.ts';
import type { Reading } from './judged-capture.ts';

/** Everything that was accepted in writing, asked about lines, sources and its own standing. */
export class AcceptedLines {
  readonly #all: readonly Disposition[];
  readonly #build: JudgedBuild;
  readonly #z: number;
  readonly #repeatabilityDb: number;

  constructor(
    input: JudgedBuild & {
      readonly dispositions: readonly Disposition[];
      readonly settings: { readonly repeatabilityDb: number };
    },
    z: number,
  ) {
    this.#all = input.dispositions;
    this.#build = input;
    this.#z = z;
    this.#repeatabilityDb = input.settings.repeatabilityDb;
  }

  /** Says of each line of one capture in one band whether it is accepted and has not grown. */
  test(reading: Reading, band: Band): (line: BandLine) => boolean {
    const here = this.#inScope(reading, band.name);
    return (line) => here.some((one) => isAcceptedLine(one, line) && this.#grown(one, line, reading) === null);
  }

  /** Acceptances that took a line out of a verdict that it would have decided. */
  reliedOn({ lines, reading }: BandView, band: Band): number[] {
    const here = this.#inScope(reading, band.name);
    const used = lines.filter(({ isAccepted, over, isOfBuild }) => isAccepted && isOfBuild && over.high > 0);
    return used.flatMap((line) => here.filter((one) => isAcceptedLine(one, line)).map(({ id }) => id));
  }

  notRunning(asked: Omit<Asked, 'temperatureC'>): { source: string; dispositionId: number }[] {
    return this.#all.flatMap((one) =>
      one.subject.kind === 'not-exercised' &&
      standingOf(one, this.#build) === null &&
      scopeHolds({ ...one.scope, temperature: null }, { ...asked, temperatureC: null })
        ? [{ source: one.subject.source, dispositionId: one.id }]
        : [],
    );
  }

  /** How every acceptance stands, from the views that were made and the captures in use. */
  standings(views: readonly BandView[], inUse: readonly Reading[]): JudgedDisposition[] {
    return this.#all.map((one) => {
      const general = standingOf(one, this.#build);
      if (general !== null) return { dispositionId: one.id, ...general };
      if (!isOfLine(one)) return { dispositionId: one.id, standing: 'in force', why: 'It holds for this build.' };
      let seen: { levelDb: number; unit: string } | null = null;
      for (const { lines, reading } of views) {
        if (!inUse.includes(reading)) continue;
        for (const line of lines) {
          if (!isAcceptedLine(one, line) || !matches(reading, anyOf(one, reading))) continue;
          const why = this.#grown(one, line, reading);
          if (why !== null) return { dispositionId: one.id, standing: 'grown', why };
          if (seen === null || line.spur.levelDb > seen.levelDb)
            seen = { levelDb: line.spur.levelDb, unit: reading.unit?.name ?? 'unknown' };
        }
      }
      if (seen === null)
        return {
          dispositionId: one.id,
          standing: 'nothing to accept',
          why: 'No capture of this build shows the line over what is allowed, or near it.',
        };
      return {
        dispositionId: one.id,
        standing: 'in force',
        why: `The line stands at ${formatDecimal(seen.levelDb, 1)} ${seen.unit}, accepted at ${formatDecimal(one.subject.levelDb, 1)} ${one.subject.unit}: not grown beyond doubt.`,
      };
    });
  }

  #inScope(reading: Reading, band: string) {
    const { condition } = reading.capture.triaged;
    const asked: Asked = {
      mode: condition?.mode ?? null,
      band,
      point: reading.capture.point?.name ?? null,
      temperatureC: condition?.temperatureC ?? null,
    };
    return this.#all
      .filter(isOfLine)
      .filter((one) => standingOf(one, this.#build) === null && scopeHolds(one.scope, asked));
  }

  #grown(one: Parameters<typeof isAcceptedLine>[0], line: BandLine, reading: Reading): string | null {
    return grownWhy(one, line, reading, this.#z, this.#repeatabilityDb);
  }
}

/** The conditions of a scope that names one of each; open where it names none or several. */
function anyOf({ scope }: Disposition, reading: Reading) {
  return {
    mode: scope.modes.length === 1 ? scope.modes[0]! : null,
    temperature: scope.temperature,
    point: scope.points.length === 1 ? scope.points[0]! : (reading.capture.point?.name ?? null),
  };
}
