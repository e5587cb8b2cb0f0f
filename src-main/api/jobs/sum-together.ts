import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { addPart, PartSummer, sumParts, type PartsWork, type PartSums } from '../../engine/spectrum/sum-parts.ts';
import type { ByteSource } from '../../model/byte-source.ts';
import { PartBoard } from './part-board.ts';
import { workerScript } from './worker-script.ts';

/** Points to transform below which a second thread is not worth its start: some tenths of a second of one. A choice of this tool. */
const WORTH_SHARING = 2 ** 24;
/** Longest transform that two threads do side by side: beyond, the memory of both would pass 300 MB. */
const LONGEST_SHARED = 2 ** 19;
/** A helper that shows no sign of life for so long is given up, and its part is done here. */
const GIVEN_UP_MS = 20_000;

/**
 * Sums the parts of a record's periodograms with a second thread beside this one. Both take the next part that nobody has; the sums are
 * added here, first to last, so the result is the same to the last bit as one thread's. Whatever the helper cannot do is done here.
 *
 * This thread waits: call it where waiting is allowed, in a worker or a command. When the calling worker is ended, its helper ends too.
 *
 * @param options `threads`, this one included, left out: as many as the machine runs at once, two at most; `worthSharing`: points to
 *   transform from which on a second thread is asked
 */
export function sumTogether(
  work: PartsWork,
  bytes: ByteSource | null,
  onSamples: (samples: number) => void,
  { threads = Math.min(2, availableParallelism()), worthSharing = WORTH_SHARING } = {},
): PartSums {
  const { plan, parts, recording } = work;
  const isWorth = plan.segments * plan.transformPoints >= worthSharing && parts.length > 1;
  if (threads < 2 || !isWorth || plan.transformPoints > LONGEST_SHARED || bytes?.elsewhere === undefined)
    return sumParts(work, bytes, onSamples);

  const board = PartBoard.create(parts.length, plan.transformPoints, recording.complex);
  const workerData: SumHelp = {
    help: 'sums',
    work,
    elsewhere: bytes.elsewhere,
    length: bytes.length,
    board: board.shared,
  };
  const helper = new Worker(workerScript(), { workerData });
  // an error of its own shows as a part that does not come
  helper.on('error', () => {});
  try {
    return addAll(new PartSummer(work, bytes), board, onSamples);
  } finally {
    void helper.terminate();
  }
}

/** What a worker is started with that helps to sum. */
export interface SumHelp {
  readonly help: 'sums';
  readonly work: PartsWork;
  readonly elsewhere: NonNullable<ByteSource['elsewhere']>;
  readonly length: number;
  readonly board: SharedArrayBuffer;
}

function addAll(summer: PartSummer, board: PartBoard, onSamples: (samples: number) => void): PartSums {
  const tell = (samples: number): void => onSamples(samples + board.samplesOfHelper());
  const mine = new Map<number, PartSums>();
  let total: PartSums | null = null;
  let isAlone = false;
  for (let next = 0; next < board.parts;) {
    const done = mine.get(next) ?? (isAlone ? summer.sum(next, tell) : board.takeDone(next));
    if (done !== null) {
      mine.delete(next++);
      total = addPart(total, done);
      continue;
    }
    // a few parts ahead of a slow helper, but not all of them: each is as large as the spectrum
    const part = mine.size < PartBoard.SLOTS ? board.claim() : null;
    if (part !== null) mine.set(part, summer.sum(part, tell));
    else if (board.isGivenBack(next)) mine.set(next, summer.sum(next, tell));
    else isAlone = !board.waitForHelper(next, GIVEN_UP_MS);
  }
  return total!;
}
