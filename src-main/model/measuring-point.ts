/** The kinds of measurement whose hazards and customs differ. */
export type PointKind =
  'receiver-port' | 'mains-network' | 'supply-line' | 'current-probe' | 'near-field-probe' | 'antenna' | 'other';

/** Where and how a spectrum is taken. Free text where the trade has no fixed vocabulary. */
export interface MeasuringPoint {
  readonly id: number;
  readonly name: string;
  readonly kind: PointKind;
  /** Port, line, antenna or probe position. */
  readonly where: string;
  /** How coupled: direct, capacitive, clamp, loop of 10 mm … */
  readonly coupling: string;
  /** Which conductors: plus, return, both, screen … */
  readonly conductors: string;
  readonly orientation: string;
  readonly heightM: number | null;
  readonly bonding: string;
  readonly notes: string;
}
