/** Round values (1, 2 or 5 times a power of ten apart) inside a range, about `wanted` of them. */
export function niceTicks(low: number, high: number, wanted: number): number[] {
  const span = high - low;
  if (!(span > 0) || !Number.isFinite(span)) return [low];
  const rough = span / Math.max(1, wanted);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((candidate) => candidate >= rough)!;
  const first = Math.ceil(low / step);
  const last = Math.floor(high / step);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step);
}
