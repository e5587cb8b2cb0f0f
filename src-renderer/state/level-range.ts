import type { TraceColumns } from '../../src-main/api/contract.ts';

/** Level range of a whole capture in steps of 10 dB: room for marks on top, the floor's deepest dips left out below. */
export function levelRange(columns: TraceColumns | null): { lowDb: number; highDb: number } {
  if (columns === null) return { lowDb: -120, highDb: -50 };
  const low = columns.minimumDb.filter((v) => Number.isFinite(v)).sort();
  const high = columns.maximumDb.reduce((m, v) => (Number.isFinite(v) && v > m ? v : m), -Infinity);
  if (low.length === 0 || !Number.isFinite(high)) return { lowDb: -120, highDb: -50 };
  // the mean of the noise lies under a held trace, and is to be seen too
  const floorDb = columns.floorDb.reduce((m, v) => (Number.isFinite(v) && v < m ? v : m), Infinity);
  const lowDb = Math.floor((Math.min(low[Math.floor(low.length * 0.02)]!, floorDb) - 1.5) / 5) * 5;
  return { lowDb, highDb: Math.max(lowDb + 20, Math.ceil((high + 4) / 5) * 5) };
}
