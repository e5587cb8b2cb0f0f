import { UNKNOWN_SETTINGS, type Capture } from '../../src-main/model/capture.ts';
import type { Source } from '../../src-main/model/source.ts';
import { sha256 } from '../../src-main/register/blobs.ts';

export function source(designator: string, more: Partial<Source> = {}): Source {
  return {
    designator,
    kind: 'converter',
    nominalHz: 300e3,
    tolerancePpm: null,
    driftPpmPerK: null,
    spreadPpm: null,
    lock: null,
    duty: null,
    riseS: null,
    maxHarmonic: null,
    adjust: null,
    fedBy: null,
    owner: 'ours',
    serial: '',
    notes: '',
    ...more,
  };
}

export function capture(file: string, seed = 0, points = 200): { capture: Capture; bytes: Uint8Array } {
  const bytes = new TextEncoder().encode(`${file} ${seed}`);
  const frequencyHz = Float64Array.from({ length: points }, (_, i) => 1e6 + i * 1e3);
  const level = Float64Array.from({ length: points }, (_, i) => (i === 7 ? NaN : -100 + ((i * 37 + seed) % 11) / 10));
  const trace = {
    label: 'one',
    frequencyHz,
    level,
    unit: { name: 'dBm', scale: 'decibel', perHz: false } as const,
    settings: UNKNOWN_SETTINGS,
  };
  return { capture: { file, sha256: sha256(bytes), layout: 'made up', traces: [trace], warnings: [] }, bytes };
}

export { silentCondition as condition } from '../../src-main/model/silent-condition.ts';

export const aState = (name: string, parentId: number | null = null) => ({
  name,
  description: '',
  parentId,
  at: '2026-01-01T00:00:00Z',
  configuration: [{ item: 'main board', serial: '007', revision: 'B', detail: '' }],
});

export const aPoint = (name: string) => ({
  name,
  kind: 'receiver-port' as const,
  where: '',
  coupling: '',
  conductors: '',
  orientation: '',
  heightM: null,
  bonding: '',
  notes: '',
});

export const aDecision = (captureId: number, sourceName: string | null = null) => ({
  captureId,
  frequencyHz: 1e6,
  kind: 'confirm' as const,
  source: sourceName,
  harmonic: null,
  note: 'n',
  by: 'me',
  at: '2026-01-01T00:00:00Z',
});
