import type { Source } from '../../model/source.ts';
import { plainJson, type Json } from '../plain-json.ts';

/** The document `spurledger.sources/1`: the register's sources with the fields of the source table. */
export function sourcesDocument(sources: readonly Source[]): Json {
  return plainJson({
    schema: 'spurledger.sources/1',
    sources: sources.map((source) => ({
      designator: source.designator,
      kind: source.kind,
      nominal_hz: source.nominalHz,
      tolerance_ppm: source.tolerancePpm,
      drift_ppm_per_k: source.driftPpmPerK,
      spread_ppm: source.spreadPpm,
      locked_to: source.lock?.to ?? null,
      lock_numerator: source.lock?.numerator ?? null,
      lock_denominator: source.lock?.denominator ?? null,
      duty: source.duty,
      rise_s: source.riseS,
      max_harmonic: source.maxHarmonic,
      adjust_low_hz: source.adjust?.lowHz ?? null,
      adjust_high_hz: source.adjust?.highHz ?? null,
      adjust_step_hz: source.adjust?.stepHz ?? null,
      fed_by: source.fedBy,
      owner: source.owner,
      serial: source.serial,
      notes: source.notes,
    })),
  });
}
