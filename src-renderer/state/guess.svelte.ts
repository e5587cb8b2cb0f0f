import type { Client } from '../../src-main/api/contract.ts';
import type { GuessScore } from '../../src-main/model/guess-score.ts';
import { ask } from './door.ts';
import type { Notices } from './notices.svelte.ts';

/** A fundamental tried by hand on the comb strip, scored against the lines of the capture as it moves. */
export class Guess {
  fundamentalHz = $state<number | null>(null);
  /** The score of `fundamentalHz`, or of where it was a moment ago. */
  score = $state.raw<GuessScore | null>(null);
  #captureId: number | null = null;
  readonly #client: Client;
  readonly #notices: Notices;
  #isAsking = false;

  constructor(client: Client, notices: Notices) {
    this.#client = client;
    this.#notices = notices;
  }

  get isOn(): boolean {
    return this.fundamentalHz !== null;
  }

  /** Puts the guess somewhere; the score follows, of fast moves only that of the last. */
  set(captureId: number, fundamentalHz: number): void {
    if (!(fundamentalHz > 0) || !Number.isFinite(fundamentalHz)) return;
    if (captureId !== this.#captureId) this.score = null;
    this.#captureId = captureId;
    this.fundamentalHz = fundamentalHz;
    if (!this.#isAsking) void this.#ask();
  }

  /** One fine step: at the highest harmonic in the span a line's reach, so that no step jumps over a line. */
  nudge(by: number): void {
    const { score } = this;
    if (this.fundamentalHz === null || this.#captureId === null || score === null) return;
    const last = Math.max(1, score.lastHarmonic);
    this.set(this.#captureId, this.fundamentalHz + (by * score.reachHz) / last);
  }

  /** To where the lines that were seen put it. */
  fit(): void {
    const { score } = this;
    if (score?.fittedHz != null && this.#captureId !== null) this.set(this.#captureId, score.fittedHz);
  }

  clear(): void {
    this.fundamentalHz = null;
    this.score = null;
    this.#captureId = null;
  }

  async #ask(): Promise<void> {
    this.#isAsking = true;
    try {
      for (
        let asked: number | null = null, askedOf: number | null = null;
        asked !== this.fundamentalHz || askedOf !== this.#captureId;
      ) {
        asked = this.fundamentalHz;
        const captureId = (askedOf = this.#captureId);
        if (asked === null || captureId === null) break;
        const fundamentalHz = asked;
        const score = await this.#notices.attempt(() => ask(this.#client, 'guessScore', { captureId, fundamentalHz }));
        if (this.isOn && captureId === this.#captureId) this.score = score ?? null;
      }
    } finally {
      this.#isAsking = false;
    }
  }
}
