import { createHash } from 'node:crypto';
import { foldingBands, type Band } from '../model/band.ts';
import type { CalibrationTable } from '../model/calibration.ts';
import type { CaptureSettings } from '../model/capture.ts';
import type { Condition } from '../model/condition.ts';
import type { Source } from '../model/source.ts';
import type { TriageSettings } from '../model/triage-settings.ts';

/** Everything that decides a triage beside the program itself. */
export interface TriageInputs {
  readonly sha256: string;
  readonly traceIndex: number;
  readonly condition: Condition;
  readonly sources: readonly Source[];
  readonly settings: TriageSettings;
  /** What the levels are taken through; left out or empty: nothing. */
  readonly calibration?: readonly CalibrationTable[];
  /** Settings of a trace that was computed of a record: of the same bytes another can be made. Left out for a trace of the file. */
  readonly computed?: CaptureSettings | undefined;
  /** Those that neither sample nor mix do not matter. */
  readonly bands?: readonly Band[];
}

/**
 * A fingerprint of what a triage depends on: a result kept under another fingerprint is stale.
 *
 * Left out on purpose: notes and serial numbers of sources, the order of the list, and of a condition the point, state, mode and
 * temperature, which the engine does not use; the point counts where a band folds.
 */
export function triageKey(
  { sha256, traceIndex, condition, sources, settings, calibration = [], computed, bands = [] }: TriageInputs,
  appVersion: string,
): string {
  const folding = foldingBands(bands);
  const used = {
    appVersion,
    sha256,
    traceIndex,
    settings,
    ...(calibration.length === 0 ? {} : { calibration }),
    ...(computed === undefined ? {} : { computed }),
    // which receiver took a capture is read from its point
    ...(folding.length === 0 ? {} : { folding, point: condition.point }),
    condition: { ...condition, file: '', point: null, state: null, mode: null, temperatureC: null },
    sources: [...sources]
      .sort((a, b) => (a.designator < b.designator ? -1 : 1))
      .map((source) => ({ ...source, notes: '', serial: '' })),
  };
  return createHash('sha256').update(canonical(used)).digest('hex');
}

/** The settings of a trace that was computed of a record; undefined for a trace of the file. */
export function computedOf(settings: CaptureSettings | undefined): CaptureSettings | undefined {
  return (settings?.computedLine ?? null) === null ? undefined : settings;
}

/** JSON with the fields in alphabetical order, so that equal values give equal text. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  );
}
