import type { BuildState, EnvironmentEvent, Fix } from '../../../src-main/model/build-state.ts';
import type { MeasuringPoint } from '../../../src-main/model/measuring-point.ts';

/** What is being entered beside the state line. */
export type Form =
  | { readonly kind: 'state'; readonly state: BuildState | null }
  | { readonly kind: 'fix'; readonly fix: Fix | null; readonly fromStateId: number; readonly toStateId: number }
  | { readonly kind: 'point'; readonly point: MeasuringPoint | null }
  | { readonly kind: 'event'; readonly event: EnvironmentEvent | null };

/** An ISO 8601 date-time as the value of a local date-time field, and back. */
export function toLocalField(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return '';
  const two = (n: number) => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}`;
}

export function fromLocalField(value: string): string | null {
  const at = new Date(value);
  return Number.isNaN(at.getTime()) ? null : at.toISOString();
}
