/** Fewer free points than this around a place tell no local mean. */
export const FEWEST_SIDE_POINTS = 12;

/** Mean of the free points within `side` of each point, those within `guard` left out: two differences of running sums. */
export function localMeans(
  value: Float64Array,
  free: Uint8Array,
  toothOf: Int16Array,
  side: number,
  guard: number,
): Float64Array {
  const n = value.length;
  const sum = new Float64Array(n + 1);
  const count = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) {
    const counts = free[i] === 1 && toothOf[i] === 0;
    sum[i + 1] = sum[i]! + (counts ? value[i]! : 0);
    count[i + 1] = count[i]! + (counts ? 1 : 0);
  }
  const local = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const [a, b] = [Math.max(0, i - side), Math.min(n, i + side + 1)];
    const [c, d] = [Math.max(0, i - guard), Math.min(n, i + guard + 1)];
    const points = count[b]! - count[a]! - (count[d]! - count[c]!);
    local[i] = points < FEWEST_SIDE_POINTS ? NaN : (sum[b]! - sum[a]! - (sum[d]! - sum[c]!)) / points;
  }
  return local;
}

/** How free points scatter about their local mean, as the trace itself shows it: whatever made the noise is in it. */
export function scatter(
  value: Float64Array,
  free: Uint8Array,
  toothOf: Int16Array,
  local: Float64Array,
  reach: number,
): { covariance: Float64Array; skewness: number } {
  const n = value.length;
  const excess = new Float64Array(n);
  const usable = new Uint8Array(n);
  let count = 0;
  let cube = 0;
  for (let i = 0; i < n; i++) {
    if (free[i] === 0 || toothOf[i] !== 0 || Number.isNaN(local[i]!)) continue;
    usable[i] = 1;
    excess[i] = value[i]! - local[i]!;
    count++;
    cube += excess[i]! ** 3;
  }
  const covariance = new Float64Array(reach + 1);
  for (let lag = 0; lag <= reach; lag++) {
    let sum = 0;
    let pairs = 0;
    for (let i = lag; i < n; i++) {
      if (usable[i] === 0 || usable[i - lag] === 0) continue;
      sum += excess[i]! * excess[i - lag]!;
      pairs++;
    }
    covariance[lag] = pairs === 0 ? 0 : sum / pairs;
  }
  const spread = Math.sqrt(covariance[0]!);
  return { covariance, skewness: count === 0 || spread === 0 ? 0 : cube / count / spread ** 3 };
}
