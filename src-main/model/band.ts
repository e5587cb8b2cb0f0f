/** A protected receive band. Columns as in the band table (CSV). */
export interface Band {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
  readonly channelHz: number | null;
  readonly channelOriginHz: number | null;
  readonly allowedOverFloorDb: number | null;
  readonly allowedLevel: number | null;
  readonly allowedUnit: string | null;
  readonly weight: number;
  readonly sampleRateHz: number | null;
  readonly localOscillatorHz: number | null;
}
