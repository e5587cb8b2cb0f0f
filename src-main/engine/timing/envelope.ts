/**
 * Mean power of a stream in steps of equal length; memory is one number a step.
 *
 * A step is on the grid of the stream's own samples, so steps of a rate that does not divide the sampling rate are a sample apart
 * at most. What is left at the end and fills no step is dropped.
 */
export class Envelope {
  readonly #samplesPerStep: number;
  readonly #steps: number[] = [];
  #sum = 0;
  #count = 0;
  #total = 0;

  /** @param samplesPerStep at least 1, need not be whole */
  constructor(samplesPerStep: number) {
    this.#samplesPerStep = samplesPerStep;
  }

  /** @param imaginary of the same length where the record is I/Q (its power is half of |z|², that of the carrier), else null */
  push(real: Float64Array, imaginary: Float64Array | null): void {
    for (let n = 0; n < real.length; n++) {
      const power = imaginary === null ? real[n]! ** 2 : (real[n]! ** 2 + imaginary[n]! ** 2) / 2;
      this.#sum += power;
      this.#count++;
      this.#total++;
      if (this.#total >= (this.#steps.length + 1) * this.#samplesPerStep) {
        this.#steps.push(this.#sum / this.#count);
        this.#sum = 0;
        this.#count = 0;
      }
    }
  }

  /** Mean square of each whole step so far. */
  powers(): Float64Array {
    return Float64Array.from(this.#steps);
  }
}
