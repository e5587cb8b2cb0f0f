import { applyCondition } from '../../model/apply-condition.ts';
import type { CaptureSettings } from '../../model/capture.ts';
import { levelMeaning, type LevelMeaning } from '../../model/level-meaning.ts';
import type { Decision } from '../../model/decision.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { PointKind } from '../../model/measuring-point.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { convertBandwidth } from '../../units/bandwidth.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';

/** A triaged capture with its place in the register. */
export interface JudgedCapture {
  readonly captureId: number;
  readonly stateId: number;
  /** null: the capture names no measuring point. */
  readonly point: { readonly name: string; readonly kind: PointKind } | null;
  readonly triaged: TriagedTrace;
  /** Whether its levels may be held against a limit; left out: as for a capture without calibration. */
  readonly meaning?: LevelMeaning | undefined;
  /** What engineers decided about its lines; left out: nothing. */
  readonly decisions?: readonly Decision[] | undefined;
}

/** What judging needs of a capture. Levels are decibels of `unit`. */
export interface Reading {
  readonly capture: JudgedCapture;
  readonly taken: CaptureSettings;
  /** The unit that holds, decibel scale; null where nobody stated one. */
  readonly unit: LevelUnit | null;
  /** 3 dB bandwidth; where nobody stated it, the spacing of points stands in. */
  readonly rbwHz: number;
  readonly isRbwStated: boolean;
  readonly noiseBandwidthHz: number;
  /** Mean spacing of points. */
  readonly spacingHz: number;
}

export function readingOf(capture: JudgedCapture): Reading {
  const { trace, condition } = capture.triaged;
  const taken = applyCondition(trace.settings, condition);
  const n = trace.frequencyHz.length;
  const spacingHz = (trace.frequencyHz[n - 1]! - trace.frequencyHz[0]!) / Math.max(1, n - 1);
  const isRbwStated = taken.rbwHz !== null;
  const rbwHz = taken.rbwHz === null ? spacingHz : convertBandwidth(taken.rbwHz, taken.rbwShape ?? '3 dB', '3 dB');
  return {
    capture,
    taken,
    unit: decibelUnit(condition?.unit ?? null, trace.unit),
    rbwHz,
    isRbwStated,
    noiseBandwidthHz: convertBandwidth(rbwHz, '3 dB', 'noise'),
    spacingHz,
  };
}

/** A condition's unit holds over the file's. Linear units are named as the decibels that the engine works in. */
function decibelUnit(stated: string | null, ofTrace: LevelUnit): LevelUnit | null {
  const unit = stated === null ? ofTrace : parseLevelUnit(stated);
  return unit === null || unit.name === 'unknown' ? null : unit;
}

/** Whether the levels may be held against a limit. */
export function meaningOf({ capture, unit }: Reading): LevelMeaning {
  return (
    capture.meaning ??
    levelMeaning({
      pointKind: capture.point?.kind ?? null,
      unit: unit ?? capture.triaged.trace.unit,
      isFactored: false,
      transferVersion: null,
    })
  );
}

/** True for what shows the item at work; references (off, terminated, attenuated) judge nothing. */
export function showsItem({ triaged }: JudgedCapture): boolean {
  return (triaged.condition?.role ?? 'item') === 'item';
}
