import type { PartSums } from '../../engine/spectrum/sum-parts.ts';

const [NEXT, SAMPLES, BEAT, FIRST_STATE] = [0, 1, 2, 3];
const [OPEN, DONE, GIVEN_BACK, TAKEN] = [0, 1, 2, 3];

/**
 * What two threads that sum parts of one record share: the number of the next part that nobody has, the state of each part, and room for
 * a few sums that the helper has made and the other thread has not taken yet. Only the helper waits for room, only the other for sums.
 */
export class PartBoard {
  /** Sums that may lie finished on either side. */
  static readonly SLOTS = 2;

  readonly shared: SharedArrayBuffer;
  readonly parts: number;
  readonly #control: Int32Array<SharedArrayBuffer>;
  readonly #slots: Float64Array;
  readonly #points: number;
  readonly #products: number;
  /** Sums that this thread has put down or taken up. */
  #passed = 0;

  private constructor(shared: SharedArrayBuffer, parts: number, points: number, isComplex: boolean) {
    this.shared = shared;
    this.parts = parts;
    this.#points = points;
    this.#products = isComplex ? points / 2 + 1 : 0;
    this.#control = new Int32Array(shared, 0, FIRST_STATE + parts);
    this.#slots = new Float64Array(shared, controlBytes(parts));
  }

  static create(parts: number, points: number, isComplex: boolean): PartBoard {
    const numbers = 3 + points + (isComplex ? points + 2 : 0);
    const shared = new SharedArrayBuffer(controlBytes(parts) + 8 * PartBoard.SLOTS * numbers);
    return new PartBoard(shared, parts, points, isComplex);
  }

  /** The same board in another thread. */
  static at(shared: SharedArrayBuffer, parts: number, points: number, isComplex: boolean): PartBoard {
    return new PartBoard(shared, parts, points, isComplex);
  }

  /** A part that nobody has, or null. */
  claim(): number | null {
    const part = Atomics.add(this.#control, NEXT, 1);
    return part < this.parts ? part : null;
  }

  /** The helper has taken so many samples more: counted for progress, and a sign of life. */
  tookSamples(samples: number): void {
    Atomics.add(this.#control, SAMPLES, samples);
    Atomics.add(this.#control, BEAT, 1);
    Atomics.notify(this.#control, BEAT);
  }

  /** How many it took since this was last asked. */
  samplesOfHelper(): number {
    return Atomics.exchange(this.#control, SAMPLES, 0);
  }

  /** The helper's: puts sums where the other finds them, waiting until there is room. */
  put(part: number, { sums, clipped }: PartSums): void {
    const slot = this.#passed % PartBoard.SLOTS;
    for (;;) {
      const beat = Atomics.load(this.#control, BEAT);
      if (this.#waiting() < PartBoard.SLOTS) break;
      Atomics.wait(this.#control, BEAT, beat, 1000);
    }
    const at = this.#slot(slot);
    at.set([sums.segments, sums.brokenSegments, clipped]);
    at.set(sums.power, 3);
    at.set(sums.mirrorRe, 3 + this.#points);
    at.set(sums.mirrorIm, 3 + this.#points + this.#products);
    this.#passed++;
    this.#setState(part, DONE);
  }

  /** The helper's: it could not do this part. */
  giveBack(part: number): void {
    this.#setState(part, GIVEN_BACK);
  }

  isGivenBack(part: number): boolean {
    return Atomics.load(this.#control, FIRST_STATE + part) === GIVEN_BACK;
  }

  /** The sums of a part where the helper has finished it, else null. Parts are taken in the order of their numbers. */
  takeDone(part: number): PartSums | null {
    if (Atomics.load(this.#control, FIRST_STATE + part) !== DONE) return null;
    const at = this.#slot(this.#passed % PartBoard.SLOTS);
    const [n, m] = [this.#points, this.#products];
    const sums = {
      segments: at[0]!,
      brokenSegments: at[1]!,
      power: at.slice(3, 3 + n),
      mirrorRe: at.slice(3 + n, 3 + n + m),
      mirrorIm: at.slice(3 + n + m, 3 + n + 2 * m),
    };
    const clipped = at[2]!;
    this.#passed++;
    this.#setState(part, TAKEN);
    return { sums, clipped };
  }

  /** Waits until something happens to a part, some samples are taken, or the helper was silent for so long: then false. */
  waitForHelper(part: number, silentMs: number): boolean {
    const beat = Atomics.load(this.#control, BEAT);
    if (Atomics.load(this.#control, FIRST_STATE + part) !== OPEN) return true;
    return Atomics.wait(this.#control, BEAT, beat, silentMs) !== 'timed-out';
  }

  #waiting(): number {
    let waiting = 0;
    for (let part = 0; part < this.parts; part++)
      if (Atomics.load(this.#control, FIRST_STATE + part) === DONE) waiting++;
    return waiting;
  }

  #setState(part: number, state: number): void {
    Atomics.store(this.#control, FIRST_STATE + part, state);
    Atomics.add(this.#control, BEAT, 1);
    Atomics.notify(this.#control, BEAT);
  }

  #slot(slot: number): Float64Array {
    const numbers = 3 + this.#points + 2 * this.#products;
    return this.#slots.subarray(slot * numbers, (slot + 1) * numbers);
  }
}

function controlBytes(parts: number): number {
  return 8 * Math.ceil((4 * (FIRST_STATE + parts)) / 8);
}
