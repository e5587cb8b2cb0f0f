import { PartSummer } from '../../engine/spectrum/sum-parts.ts';
import { bytesInMemory } from '../../model/byte-source.ts';
import { openFileSource } from '../steps/file-source.ts';
import { PartBoard } from './part-board.ts';
import type { SumHelp } from './sum-together.ts';

/** The helper's side of `sumTogether`: takes parts until none is left. What it cannot do it gives back. */
export function helpSum({ work, elsewhere, length, board: shared }: SumHelp): void {
  const { parts, plan, recording } = work;
  const board = PartBoard.at(shared, parts.length, plan.transformPoints, recording.complex);
  const bytes = typeof elsewhere === 'string' ? openFileSource(elsewhere) : bytesInMemory(elsewhere);
  // another file of this name by now, or it grew: the one that was opened first is read there
  if (bytes.length !== length) return;
  const summer = new PartSummer(work, bytes);
  for (let part = board.claim(); part !== null; part = board.claim()) {
    try {
      board.put(
        part,
        summer.sum(part, (samples) => board.tookSamples(samples)),
      );
    } catch {
      board.giveBack(part);
    }
  }
}
