import type { Trace } from '../../model/trace.ts';
import type { Triage } from '../../model/triage.ts';
import { plainJson, type Json } from '../plain-json.ts';
import { spurDocument } from '../spur-document.ts';
import { csvTable } from '../csv.ts';

const COLUMNS = [
  'frequency_hz',
  'frequency_sigma_hz',
  'level',
  'level_sigma_db',
  'floor',
  'unit',
  'over_floor_db',
  'width_hz',
  'shape',
  'cause',
  'source',
  'harmonic',
  'chance',
  'other_candidates',
  'why',
  'level_sigma_of_chain_db',
] as const;

/**
 * The spurs of a capture, one a row, with the first candidate in columns of its own. Levels in the trace's unit; their doubt is the
 * line's own and that of the calibration chain together, and the chain's part stands beside it.
 *
 * @param chainSigmaDb of each spur; null: there is no chain
 */
export function spursCsv(
  { spurs, explanations }: Triage,
  { unit }: Trace,
  chainSigmaDb: readonly number[] | null = null,
): string {
  const rows = spurs.map((spur, i) => {
    const { candidates, ...document } = spurDocument(spur, explanations[i]!, unit, chainSigmaDb?.[i]);
    const [first, ...others] = candidates;
    return [
      document.frequency_hz,
      document.frequency_sigma_hz,
      document.level,
      document.level_sigma_db,
      document.floor,
      unit.name,
      document.over_floor_db,
      document.width_hz,
      document.shape,
      document.cause,
      first?.source ?? null,
      first?.harmonic ?? null,
      first?.chance ?? null,
      others.map(({ source, harmonic }) => `${source ?? 'unknown'} × ${harmonic}`).join('; '),
      document.why,
      document.level_sigma_of_chain_db ?? null,
    ];
  });
  return csvTable(COLUMNS, rows);
}

/** The document `spurledger.spurs/1`: the spurs of one capture as in `spurledger.triage/1`. */
export function spursDocument(
  { spurs, explanations }: Triage,
  { unit }: Trace,
  { file, sha256 }: { readonly file: string; readonly sha256: string },
  chainSigmaDb: readonly number[] | null = null,
): Json {
  return plainJson({
    schema: 'spurledger.spurs/1',
    file,
    sha256,
    unit: unit.name,
    spurs: spurs.map((spur, i) => spurDocument(spur, explanations[i]!, unit, chainSigmaDb?.[i])),
  });
}
