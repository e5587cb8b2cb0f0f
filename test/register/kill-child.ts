/**
 * Changes a register without end and says each change once it was acknowledged, as `number of its history entry, tab, summary`.
 * The parent kills it at a random moment.
 */
import { writeSync } from 'node:fs';
import { openRegister } from '../../src-main/register/register.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';
import { seeded } from '../engine/attribution/scene.ts';
import { aState, capture, condition, source } from './scene-data.ts';

const [path, seed] = [process.argv[2]!, Number(process.argv[3])];
const who = `child ${seed}`;
const register = openRegister(path, { now: () => new Date(), who });
const { uniform } = seeded(seed);

const acts: readonly ((n: number) => unknown)[] = [
  (n) => register.sources.put(source(`U${seed}-${n}`), null),
  (n) => register.sources.put(source(`U${seed}-${n - 1}`, { nominalHz: 1000 + n }), `U${seed}-${n - 1}`),
  (n) => {
    const { capture: made, bytes } = capture(`c${seed}-${n}.csv`, n, 20_000);
    register.captures.add(made, bytes, condition(made.file), 0);
  },
  (n) => register.states.put(null, aState(`S${seed}-${n}`)),
  () => {
    const [state, kept] = [register.states.list().at(-1), register.captures.list().at(-1)];
    if (state !== undefined && kept !== undefined) register.captures.assign([kept.id], { stateId: state.id });
  },
  () => register.undo(),
  () => register.redo(),
];

for (let n = 1; ; n++)
  try {
    acts[Math.floor(uniform() * acts.length)]!(n);
    const mine = register.history(20, null).find((entry) => entry.who === who);
    if (mine !== undefined) writeSync(1, `${mine.id}\t${mine.summary}\n`);
  } catch (error) {
    // what the register refuses, and what the other child undid under its hands, is no matter here
    if (!(error instanceof RegisterError)) throw error;
    if (['damaged', 'locked', 'not-a-register'].includes(error.code)) throw error;
  }
