/**
 * Names a thousand lines against a register of fifty sources and prints the processor time, smallest and spread of nine runs after
 * three to warm up; beside it the same for a quarter of the lines and of the sources. Printed, never asserted.
 *
 *   npx node test/bench/attribution.ts
 */
import { Scene, seeded, source } from '../engine/attribution/scene.ts';

for (const [lines, sources] of [
  [1000, 50],
  [250, 12],
] as const) {
  const { uniform } = seeded(7);
  const register = Array.from({ length: sources }, (_, i) =>
    source(`V${i + 1}`, Math.round(60 * 33 ** uniform()) * 1e3, {
      tolerancePpm: Math.round(20_000 + 60_000 * uniform()),
    }),
  );
  const scene = new Scene(7, 0.1e6, 60e6, 3000, 60);
  const share = lines / 1000;
  for (let i = 0; i < Math.max(2, Math.round(10 * share)); i++) {
    const { nominalHz } = register[Math.floor((i * sources) / 10)]!;
    scene.comb(nominalHz * (1 + 0.02 * (uniform() - 0.5)), (n, u) => n < 120 && u > 0.2);
  }
  scene.comb(433_210, (n) => n < 80 * share).foreign(Math.round(250 * share));
  let count = 0;
  const times: number[] = [];
  for (let run = 0; run < 12; run++) {
    const before = process.cpuUsage().user;
    count = scene.attribute(register).spurs.length;
    if (run >= 3) times.push((process.cpuUsage().user - before) / 1000);
  }
  times.sort((a, b) => a - b);
  process.stdout.write(
    `${count} lines × ${sources} sources: ${times[0]!.toFixed(0)} ms of processor time, up to ${times[8]!.toFixed(0)}\n`,
  );
}
