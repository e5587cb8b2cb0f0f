import type { TraceSummary } from '../../src-main/api/contract.ts';
import type { LevelUnit } from '../../src-main/model/level-unit.ts';
import { noiseBandwidthHz } from '../../src-main/units/bandwidth.ts';
import { convertLevel } from '../../src-main/units/convert-level.ts';
import type { LevelConversion } from '../../src-main/units/convert-level.ts';
import { parseLevelUnit } from '../../src-main/units/parse-unit.ts';

/** Units a trace may be read in, beside its own. */
const OFFERED = ['dBm', 'dBW', 'dBµV', 'dBmV', 'dBV', 'dBµA', 'dBm/Hz', 'dBµV/√Hz', 'dBV/√Hz', 'dBµV/m', 'dBV/m'];

/** The decibel unit of a trace's levels as printed: volts become dBV. */
export function decibelUnit(trace: TraceSummary | null): string {
  if (trace === null) return 'dBm';
  const { name, scale } = trace.unit;
  if (name === 'unknown') return 'dB, unit unknown';
  return scale === 'decibel' ? name : `dB${name}`;
}

/** What to add to a trace's decibels to read them in a unit, or why they cannot be. */
export function reading(trace: TraceSummary, unit: string, impedanceOhm: number | null): LevelConversion {
  if (unit === decibelUnit(trace)) return { isDefined: true, db: 0, isOfNoise: false };
  const to = parseLevelUnit(unit);
  if (to === null) return { isDefined: false, why: `${unit} is no unit that others go into` };
  const { rbwHz, rbwShape } = trace.settings;
  const from: LevelUnit = trace.unit;
  return convertLevel(from, to, {
    impedanceOhm,
    noiseBandwidthHz: rbwHz === null ? null : noiseBandwidthHz(rbwHz, rbwShape),
  });
}

/** Units that a trace's levels can be read in, its own first. */
export function unitsOf(trace: TraceSummary, impedanceOhm: number | null): readonly string[] {
  const own = decibelUnit(trace);
  return [own, ...OFFERED.filter((unit) => unit !== own && reading(trace, unit, impedanceOhm).isDefined)];
}

/** Whether an impedance would open further units to a trace. */
export function wantsImpedance(trace: TraceSummary): boolean {
  return unitsOf(trace, 50).length > unitsOf(trace, null).length;
}

export interface LaidTrace {
  readonly id: number;
  readonly trace: TraceSummary;
  /** The unit asked for; null: as the axis on the left where that can be. */
  readonly unit: string | null;
}

/** Where a trace is drawn and what it is read in. */
export type Placed =
  | {
      readonly axis: 'left' | 'right';
      readonly unit: string;
      /** From its own decibels to `unit`. */
      readonly db: number;
      readonly isOfNoise: boolean;
      /** Why it is not on the left; null where it is, or was asked to be elsewhere. */
      readonly why: string | null;
    }
  | { readonly axis: 'none'; readonly brief: string; readonly why: string };

export interface PlacedTraces {
  readonly left: { readonly unit: string; readonly db: number; readonly isOfNoise: boolean };
  /** Unit of the axis on the right; null where nothing needs one. */
  readonly right: string | null;
  readonly laid: ReadonlyMap<number, Placed>;
}

/**
 * Traces on at most two axes: that of the bench's trace on the left, and on the right the first unit that does not go into it, or
 * was asked for. What fits neither is not drawn, with the reason.
 */
export function placeTraces(
  bench: { readonly trace: TraceSummary | null; readonly unit: string | null },
  laid: readonly LaidTrace[],
  impedanceOhm: number | null,
): PlacedTraces {
  const own = decibelUnit(bench.trace);
  const wished = bench.trace === null || bench.unit === null ? null : reading(bench.trace, bench.unit, impedanceOhm);
  const left =
    wished?.isDefined === true
      ? { unit: bench.unit!, db: wished.db, isOfNoise: wished.isOfNoise }
      : { unit: own, db: 0, isOfNoise: false };
  let right: string | null = null;
  const placed = new Map<number, Placed>();
  for (const { id, trace, unit } of laid) {
    const toLeft = reading(trace, left.unit, impedanceOhm);
    if (toLeft.isDefined && (unit === null || unit === left.unit)) {
      placed.set(id, { axis: 'left', unit: left.unit, db: toLeft.db, isOfNoise: toLeft.isOfNoise, why: null });
      continue;
    }
    const name = unit ?? decibelUnit(trace);
    const toOther = reading(trace, name, impedanceOhm);
    const why = toLeft.isDefined ? null : toLeft.why;
    if (!toOther.isDefined) placed.set(id, { axis: 'none', brief: `${name} cannot be read`, why: toOther.why });
    else if (right !== null && right !== name)
      placed.set(id, {
        axis: 'none',
        brief: `${name} would need a third axis`,
        why: `the axes show ${left.unit} and ${right}, and ${name} would need a third${why === null ? '' : `: ${why}`}`,
      });
    else {
      right = name;
      placed.set(id, { axis: 'right', unit: name, db: toOther.db, isOfNoise: toOther.isOfNoise, why });
    }
  }
  return { left, right, laid: placed };
}
