import type { LineExplanation } from '../../model/attribution.ts';
import type { SideSpur } from '../../model/track.ts';
import type { MoveSettings } from './move-candidates.ts';
import { lineSetOf, membersOf, type LineGroup, type LineSet } from './line-set.ts';
import { matchLines } from './match-lines.ts';
import { nearestIndex, type SideTrace } from './side-trace.ts';

/** All files of one side as one list of lines. */
export interface Side {
  readonly traces: readonly SideTrace[];
  readonly lines: LineSet;
  /** Parallel to the lines: in the common unit, power averaged over the files. */
  readonly spurs: readonly SideSpur[];
  readonly explanations: readonly LineExplanation[];
  /** For each line and file (line × files + file) the index of the file's own spur, −1 where it was not seen there. */
  readonly spurInFile: Int32Array;
}

interface MergedLine {
  readonly firstFile: number;
  readonly inFile: Int32Array;
  group: number;
  owners: readonly number[];
  harmonic: number;
}

interface MergedGroup {
  readonly name: string | null;
  readonly fundamentals: number[];
  readonly sigmas: number[];
}

/**
 * Takes several captures of one state together: the same line is followed from file to file (matchLines), its level is the mean
 * power over the files, its frequency the mean, and their scatter counts where it is larger than the stated uncertainty.
 *
 * A file in which a line was not seen but whose span holds it counts with the power found there over the floor, 0 at least: else a
 * line near the threshold would be averaged over its lucky sweeps only. The files' order decides only which file is named.
 */
export function mergeSide(
  traces: readonly SideTrace[],
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): Side {
  const sets = traces.map(lineSetOf);
  const merged: MergedLine[] = [];
  const groups: MergedGroup[] = [];
  sets.forEach((set, file) => {
    const soFar = file === 0 ? null : columnsOf(merged, groups, sets);
    const matching = soFar === null ? null : matchLines(soFar, set, largestMoveOf, settings);
    const groupOf = groupsOfFile(set, groups, merged, matching?.ofB ?? null);
    for (let j = 0; j < set.count; j++) {
      const group = set.group[j]! < 0 ? -1 : groupOf[set.group[j]!]!;
      const owners = set.owners[j]!.map((owner) => groupOf[owner]!);
      const known = matching === null ? -1 : matching.ofB[j]!;
      if (known < 0) {
        const inFile = new Int32Array(traces.length).fill(-1);
        inFile[file] = j;
        merged.push({ firstFile: file, inFile, group, owners, harmonic: set.harmonic[j]! });
        continue;
      }
      const line = merged[known]!;
      line.inFile[file] = j;
      line.owners = [...new Set([...line.owners, ...owners])];
      if (line.group < 0 && group >= 0) {
        line.group = group;
        line.harmonic = set.harmonic[j]!;
      }
    }
  });
  merged.sort((x, y) => meanFrequency(x, sets) - meanFrequency(y, sets));

  const spurInFile = new Int32Array(merged.length * traces.length);
  merged.forEach((line, i) => spurInFile.set(line.inFile, i * traces.length));
  const spurs = merged.map((line) => mergedSpur(line, traces));
  const lines = columnsOf(merged, groups, sets);
  return {
    traces,
    lines: {
      ...lines,
      frequencyHz: Float64Array.from(spurs, (spur) => spur.frequencyHz),
      sigmaHz: Float64Array.from(spurs, (spur) => spur.frequencySigmaHz),
      levelDb: Float64Array.from(spurs, (spur) => spur.levelDb),
    },
    spurs,
    explanations: merged.map((line) => clearestExplanation(line, traces)),
    spurInFile,
  };
}

/** Which merged group each of a file's groups is: by name; a nameless one by the lines it has in common; else a new one. */
function groupsOfFile(
  set: LineSet,
  groups: MergedGroup[],
  merged: readonly MergedLine[],
  mergedOfLine: Int32Array | null,
): number[] {
  return set.groups.map((group) => {
    let found = group.name === null ? -1 : groups.findIndex((entry) => entry.name === group.name);
    if (group.name === null && mergedOfLine !== null) {
      const votes = new Map<number, number>();
      for (const j of group.members) {
        const line = merged[mergedOfLine[j]!];
        if (line !== undefined && line.group >= 0 && line.harmonic === set.harmonic[j])
          votes.set(line.group, (votes.get(line.group) ?? 0) + 1);
      }
      for (const [candidate, count] of votes) if (2 * count > group.members.length) found = candidate;
    }
    if (found < 0) {
      groups.push({ name: group.name, fundamentals: [], sigmas: [] });
      found = groups.length - 1;
    }
    groups[found]!.fundamentals.push(group.fundamentalHz);
    groups[found]!.sigmas.push(group.fundamentalSigmaHz);
    return found;
  });
}

function columnsOf(merged: readonly MergedLine[], groups: readonly MergedGroup[], sets: readonly LineSet[]): LineSet {
  const group = Int32Array.from(merged, (line) => line.group);
  const owners = merged.map((line) => line.owners);
  const members = membersOf(groups.length, group, owners);
  const latest = (line: MergedLine): { set: LineSet; j: number } => {
    let file = line.inFile.length - 1;
    while (line.inFile[file]! < 0) file--;
    return { set: sets[file]!, j: line.inFile[file]! };
  };
  const places = merged.map(latest);
  return {
    count: merged.length,
    frequencyHz: Float64Array.from(places, ({ set, j }) => set.frequencyHz[j]!),
    sigmaHz: Float64Array.from(places, ({ set, j }) => set.sigmaHz[j]!),
    levelDb: Float64Array.from(places, ({ set, j }) => set.levelDb[j]!),
    resolutionHz: Float64Array.from(places, ({ set, j }) => set.resolutionHz[j]!),
    group,
    owners,
    harmonic: Int32Array.from(merged, (line) => line.harmonic),
    seenFromDb: (frequencyHz) => sets.reduce((lowest, set) => Math.min(lowest, set.seenFromDb(frequencyHz)), Infinity),
    groups: groups.map((group, g): LineGroup => {
      const n = group.fundamentals.length;
      const mean = group.fundamentals.reduce((sum, value) => sum + value, 0) / n;
      const scatter = Math.sqrt(group.fundamentals.reduce((sum, value) => sum + (value - mean) ** 2, 0) / n);
      return {
        name: group.name,
        fundamentalHz: mean,
        fundamentalSigmaHz: Math.max(scatter, ...group.sigmas),
        members: members[g]!,
      };
    }),
  };
}

function meanFrequency(line: MergedLine, sets: readonly LineSet[]): number {
  let sum = 0;
  let n = 0;
  line.inFile.forEach((j, file) => {
    if (j < 0) return;
    sum += sets[file]!.frequencyHz[j]!;
    n++;
  });
  return sum / n;
}

function mergedSpur(line: MergedLine, traces: readonly SideTrace[]): SideSpur {
  const first = traces[line.firstFile]!;
  const spur = first.triaged.triage.spurs[line.inFile[line.firstFile]!]!;
  const own: SideSpur = {
    ...spur,
    levelDb: spur.levelDb + first.offsetDb,
    floorDb: spur.floorDb + first.offsetDb,
    fileIndex: line.firstFile,
    seenIn: 1,
  };
  if (traces.length === 1) return own;

  const powers: number[] = [];
  const frequencies: number[] = [];
  let variance = 0; // of the sum of powers, from each file's own uncertainty
  let floor = 0;
  traces.forEach((trace, file) => {
    const j = line.inFile[file]!;
    if (j >= 0) {
      const seen = trace.triaged.triage.spurs[j]!;
      const power = 10 ** ((seen.levelDb + trace.offsetDb) / 10);
      powers.push(power);
      frequencies.push(seen.frequencyHz);
      variance += (power * seen.levelSigmaDb * (Math.LN10 / 10)) ** 2;
      floor += 10 ** ((seen.floorDb + trace.offsetDb) / 10);
      return;
    }
    const unseen = powerWhereUnseen(trace, own.frequencyHz);
    if (unseen === null) return;
    powers.push(unseen.power);
    variance += unseen.sigma ** 2;
    floor += unseen.floor;
  });
  const n = powers.length;
  const mean = powers.reduce((sum, power) => sum + power, 0) / n;
  const scatter = n < 2 ? 0 : powers.reduce((sum, power) => sum + (power - mean) ** 2, 0) / (n - 1);
  const sigma = Math.sqrt(Math.max(scatter * n, variance)) / n;
  const seenIn = frequencies.length;
  const frequencyHz = frequencies.reduce((sum, value) => sum + value, 0) / seenIn;
  const spread = Math.sqrt(frequencies.reduce((sum, value) => sum + (value - frequencyHz) ** 2, 0) / seenIn);
  return {
    ...own,
    frequencyHz,
    frequencySigmaHz: Math.max(own.frequencySigmaHz / Math.sqrt(seenIn), spread),
    levelDb: 10 * Math.log10(mean),
    levelSigmaDb: ((10 / Math.LN10) * sigma) / mean,
    floorDb: 10 * Math.log10(floor / n),
    overFloorDb: own.overFloorDb + 10 * Math.log10(mean) - own.levelDb - (10 * Math.log10(floor / n) - own.floorDb),
    seenIn,
  };
}

/** Power over the floor at a frequency, 0 at least, in the common unit; null where the file has no value there. */
function powerWhereUnseen(trace: SideTrace, atHz: number): { power: number; sigma: number; floor: number } | null {
  const { frequencyHz, levelDb, meanDb, offsetDb, triaged, spacingHz } = trace;
  const n = frequencyHz.length;
  if (atHz < frequencyHz[0]! - spacingHz || atHz > frequencyHz[n - 1]! + spacingHz) return null;
  const nearest = nearestIndex(frequencyHz, atHz);
  const level = levelDb[nearest]!;
  if (Number.isNaN(level)) return null;
  const floor = 10 ** ((meanDb[nearest]! + offsetDb) / 10);
  const point = 10 ** ((level + offsetDb) / 10);
  return {
    power: Math.max(0, point - floor),
    sigma: (point * triaged.triage.floor.pointSpreadDb * Math.LN10) / 10,
    floor,
  };
}

/** Of what the files say of one line: a named source before anything else, then the first file. */
function clearestExplanation(line: MergedLine, traces: readonly SideTrace[]): LineExplanation {
  if (traces.length === 1) return traces[0]!.triaged.triage.explanations[line.inFile[0]!]!;
  const all = traces.flatMap((trace, file) => {
    const j = line.inFile[file]!;
    return j < 0 ? [] : [trace.triaged.triage.explanations[j]!];
  });
  return all.find((explanation) => explanation.cause === 'source') ?? all[0]!;
}
