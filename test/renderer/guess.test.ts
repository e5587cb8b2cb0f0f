import { expect, test, vi } from 'vitest';
import { scoreGuess } from '../../src-main/engine/score-guess.ts';
import type { Client } from '../../src-main/api/contract.ts';
import type { Spur } from '../../src-main/model/spur.ts';
import { Guess } from '../../src-renderer/state/guess.svelte.ts';
import { Notices } from '../../src-renderer/state/notices.svelte.ts';

const spurs = Array.from({ length: 40 }, (_, i) => ({ frequencyHz: (i + 1) * 250e3, frequencySigmaHz: 200 }) as Spur);
const span = { spurs, startHz: 100e3, stopHz: 10.1e6, spacingHz: 500 };

function scene() {
  const asked: number[] = [];
  const client = {
    call: async (_: string, { captureId, fundamentalHz }: { captureId: number; fundamentalHz: number }) => {
      asked.push(fundamentalHz);
      await Promise.resolve();
      return { ok: true, value: captureId === 9 ? null : scoreGuess({ ...span, fundamentalHz }) };
    },
    on: () => () => {},
  } as unknown as Client;
  return { guess: new Guess(client, new Notices()), asked };
}

test('of a drag only the places the answers can keep up with are asked for, and the last one always', async () => {
  const { guess, asked } = scene();
  for (let i = 0; i < 50; i++) guess.set(1, 240e3 + i * 10);
  await vi.waitFor(() => expect(guess.score?.fundamentalHz).toBe(240_490));
  expect(asked.length).toBeLessThan(5);
  expect(asked.at(-1)).toBe(240_490);
});

test('a nudge moves the highest tooth in the span by what a line may be off, and the fit goes to the lines', async () => {
  const { guess } = scene();
  guess.set(1, 250_040);
  await vi.waitFor(() => expect(guess.score).not.toBeNull());
  const { reachHz, lastHarmonic } = guess.score!;
  guess.nudge(1);
  expect((guess.fundamentalHz! - 250_040) * lastHarmonic).toBeCloseTo(reachHz, 6);
  await vi.waitFor(() => expect(guess.score!.fundamentalHz).toBe(guess.fundamentalHz));
  guess.nudge(-1);
  await vi.waitFor(() => expect(guess.score!.fundamentalHz).toBe(guess.fundamentalHz));
  guess.fit();
  expect(guess.fundamentalHz).toBeCloseTo(250e3, -1);
});

test('nothing below zero is tried, without a triage there is no score, and ending it leaves nothing', async () => {
  const { guess } = scene();
  guess.set(1, -5);
  expect(guess.isOn).toBe(false);
  guess.set(9, 250e3);
  await new Promise((done) => setTimeout(done, 5));
  expect([guess.isOn, guess.score]).toEqual([true, null]);
  guess.clear();
  expect([guess.isOn, guess.score]).toEqual([false, null]);
});
