/**
 * Follows 500 lines through 200 states (one capture each) and prints the time beside that of one triage of such a capture, in one run.
 * Seeded; nothing is asserted. `npx node test/bench/follow-states.ts`
 */
import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { followStates } from '../../src-main/engine/follow-states.ts';
import type { JudgedCapture } from '../../src-main/engine/judge-build.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../../src-main/model/compare-settings.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../src-main/model/verdict-settings.ts';
import { handTriage, handSource } from '../engine/tracking/hand-triage.ts';
import { seededRandom } from '../engine/tracking/seeded-random.ts';

const STATES = 200;
const LINES = 500;
const random = seededRandom(20_260_401);
const sources = Array.from({ length: 10 }, (_, s) => handSource(`U${s + 1}`, 100e3 + 37e3 * s));
/** Every tenth line comes and goes, so that earlier states are looked at again. */
const fickle = (n: number, state: number) => n % 10 === 0 && (state >> 4) % 2 === 1;

function capture(state: number): JudgedCapture {
  const lines = Array.from({ length: LINES }, (_, n) => {
    const source = sources[n % sources.length]!;
    const harmonic = 10 + Math.floor(n / sources.length);
    const hz = source.nominalHz * harmonic * (1 + 1e-5 * (random() - 0.5));
    return { hz, db: -60 - 20 * random(), source: source.designator, harmonic, n };
  })
    .filter(({ n }) => !fickle(n, state))
    .filter(({ hz }) => hz < 25e6);
  return {
    captureId: state + 1,
    stateId: state + 1,
    point: { name: 'receiver port', kind: 'receiver-port' },
    triaged: handTriage({ startHz: 0.5e6, stopHz: 25.5e6, points: 10_001, rbwHz: 3e3, lines, file: `${state}.csv` }),
  };
}

const captures = Array.from({ length: STATES }, (_, state) => capture(state));
const states = captures.map((_, i) => ({
  id: i + 1,
  name: `S${i}`,
  description: '',
  parentId: i === 0 ? null : i,
  at: '2026-03-01T10:00:00Z',
  configuration: [],
}));
const input = {
  captures,
  states,
  fixes: [],
  sources,
  bands: [],
  compareSettings: DEFAULT_COMPARE_SETTINGS,
  settings: DEFAULT_VERDICT_SETTINGS,
};

function timed<T>(act: () => T): { value: T; ms: number; share: number } {
  const [wall, cpu] = [performance.now(), process.cpuUsage()];
  const value = act();
  const ms = performance.now() - wall;
  const used = process.cpuUsage(cpu);
  return { value, ms, share: (used.user + used.system) / 1000 / ms };
}

followStates({ ...input, captures: captures.slice(0, 5) });
const triages = [0, 1, 2].map(() =>
  timed(() =>
    analyseTrace({ trace: captures[0]!.triaged.trace, sources, condition: null, settings: DEFAULT_TRIAGE_SETTINGS }),
  ),
);
const triageMs = Math.min(...triages.map(({ ms }) => ms));
for (let i = 0; i < 3; i++) {
  const { value, ms, share } = timed(() => followStates(input));
  console.log(
    `${STATES} states × ${LINES} lines: ${value.tracks.length} tracks in ${ms.toFixed(0)} ms (${(ms * share).toFixed(0)} ms of CPU, CPU/wall ${share.toFixed(2)}), ` +
      `one triage of such a capture ${triageMs.toFixed(0)} ms: ${(ms / triageMs).toFixed(1)} ×`,
  );
}
