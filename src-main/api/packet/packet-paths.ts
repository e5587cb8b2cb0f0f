import type { PacketCapture, PacketContents } from '../../model/packet.ts';
import { fileStem } from '../../report/packet/safe-text.ts';

/** Names of a packet's files. Captures are numbered by their place; a name from outside is reduced to letters, digits, dots and hyphens. */
export const PATHS = {
  contents: 'packet.json',
  readme: 'README.txt',
  html: 'packet.html',
  pdf: 'packet.pdf',
  originals: 'results/originals.json',
  weighed: 'results/weighed.json',
  comparisons: 'results/comparisons.json',
  judgement: 'results/judgement.json',
  rechecks: 'results/rechecks.json',
  fontLicence: 'licences/source-sans-3.txt',
} as const;

export function capturePaths({ captures }: Pick<PacketContents, 'captures'>, capture: PacketCapture) {
  const number = String(captures.indexOf(capture) + 1).padStart(3, '0');
  return {
    original: `captures/${number}-${fileStem(capture.file)}`,
    trace: (index: number) => `traces/${number}-${index + 1}.csv`,
    triage: `results/triage-${number}.json`,
    floor: `results/floor-${number}.csv`,
    plot: `plots/${number}.svg`,
  };
}

export const TRACE_HEADS = ['frequency_hz', 'level'] as const;
export const FLOOR_HEADS = ['mean_db', 'threshold_db'] as const;
