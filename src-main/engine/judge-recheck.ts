import { applyCondition } from '../model/apply-condition.ts';
import type { Band } from '../model/band.ts';
import { decisionsOn, type Decision } from '../model/decision.ts';
import type { BuildState } from '../model/build-state.ts';
import type { CaptureSettings } from '../model/capture.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../model/compare-settings.ts';
import type { Condition } from '../model/condition.ts';
import type {
  Recheck,
  RecheckFinding,
  RecheckItem,
  RecheckJudgement,
  RecheckLine,
  RecheckVerdict,
  SettingDifference,
  SwappedItem,
} from '../model/recheck.ts';
import type { Source } from '../model/source.ts';
import type { Comparison, Track } from '../model/track.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../model/verdict-settings.ts';
import { formatFrequency, formatSigned } from '../units/format.ts';
import { decidedTriage } from './evidence/decided-explanations.ts';
import { compareSides } from './compare.ts';

export interface RecheckInput {
  readonly recheck: Recheck;
  readonly states: readonly BuildState[];
  /** State of the frozen baseline. */
  readonly baselineStateId: number | null;
  /** By number; captures that are not there count as not taken. */
  readonly triaged: ReadonlyMap<number, TriagedTrace>;
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  /** What engineers decided about lines of these captures; left out: nothing. */
  readonly decisions?: readonly Decision[];
}

/** A line moved where its shift is this many times its doubt. As for a match: 99.7 % of Gaussian errors (common practice, no source). */
const DRIFT_SIGMA = 3;

/**
 * What became of every line of the frozen baseline, and the re-check's own verdict. Pure: the same captures give the same.
 *
 * `holds` only where every wanted capture was repeated at the frozen settings and no line is stronger, new or untested. A line that
 * is weaker or has drifted within what tracking follows is named and does not fall short by itself; whether it meets its requirement
 * is for the verdict of the new state. A capture taken off the list is wanted again once a board was exchanged.
 */
export function judgeRecheck(input: RecheckInput): RecheckJudgement {
  const { recheck, triaged } = input;
  const swapped = swappedItems(input);
  const wanted = recheck.items.filter(({ droppedBecause }) => droppedBecause === null || swapped.length > 0);
  const taken = (item: RecheckItem): number[] => item.repeatedBy.filter((id) => triaged.has(id));
  const waiting = wanted.filter((item) => taken(item).length === 0 || !triaged.has(item.baselineCaptureId));
  const repeated = wanted.filter((item) => !waiting.includes(item));
  const lines = [
    ...groupedByRepeats(repeated).flatMap((group) => linesOf(group, input)),
    ...waiting.flatMap(({ baselineCaptureId }) => untestedLines(baselineCaptureId, triaged.get(baselineCaptureId))),
  ].sort((a, b) => a.frequencyHz - b.frequencyHz);
  const differences = repeated.flatMap((item) =>
    taken(item).flatMap((id) =>
      settingDifferencesOf(takenAs(triaged.get(item.baselineCaptureId)!), takenAs(triaged.get(id)!)).map(
        (difference) => ({
          file: triaged.get(id)!.file,
          difference,
        }),
      ),
    ),
  );
  const counts = countsOf(lines);
  const reasons = [
    ...(counts.stronger > 0
      ? [`${plural(counts.stronger, 'line is', 'lines are')} stronger than at the frozen baseline.`]
      : []),
    ...(counts.new > 0 ? [`${plural(counts.new, 'line is', 'lines are')} new since the frozen baseline.`] : []),
    ...(wanted.length === 0 ? ['No capture is asked for, so nothing was re-checked.'] : []),
    ...(recheck.stateId === null
      ? ['Nobody named the state that the repeats are of, so its configuration cannot be held against the frozen one.']
      : []),
    ...(waiting.length > 0
      ? [
          `${plural(waiting.length, 'capture is', 'captures are')} still to be repeated: ${waiting.map(({ baselineCaptureId }) => triaged.get(baselineCaptureId)?.file ?? `capture ${baselineCaptureId}`).join(', ')}.`,
        ]
      : []),
    ...swapped.map(
      ({ item, frozen, found }) => `${item} was ${frozen} and is ${found}: its evidence is asked for again.`,
    ),
    ...[
      ...new Set(
        differences.map(({ file, difference: d }) => `${file}: ${d.setting} is ${d.found}, frozen ${d.frozen}.`),
      ),
    ],
    ...(counts.untested > 0 ? [`${plural(counts.untested, 'line', 'lines')} could not be tested.`] : []),
  ];
  const verdict: RecheckVerdict =
    counts.stronger > 0 || counts.new > 0
      ? 'falls short'
      : reasons.some((reason) => !isAboutSwap(reason, swapped))
        ? 'not shown'
        : 'holds';
  return {
    verdict,
    reasons:
      verdict === 'holds' ? [holdsSentence(lines.length, counts), ...reasons] : [...reasons, ...driftSentence(counts)],
    lines,
    swapped,
    waiting: waiting.map(({ baselineCaptureId }) => baselineCaptureId),
    counts,
  };
}

/** An exchanged board alone does not forbid `holds`: with every capture repeated its evidence is there again. */
function isAboutSwap(reason: string, swapped: readonly SwappedItem[]): boolean {
  return swapped.some(({ item, frozen, found }) => reason.startsWith(`${item} was ${frozen} and is ${found}`));
}

function holdsSentence(lines: number, counts: RecheckJudgement['counts']): string {
  return `All ${lines} lines were tested at the frozen settings; none is stronger, none is new${counts.weaker > 0 ? `, ${counts.weaker} weaker` : ''}${counts.drift > 0 ? `, ${counts.drift} drifted` : ''}.`;
}

function driftSentence({ drift }: RecheckJudgement['counts']): string[] {
  return drift > 0 ? [`${plural(drift, 'line has', 'lines have')} drifted in frequency.`] : [];
}

/** Boards and parts of the baseline that are not the same in the re-check's state, or not there. */
export function swappedItems({
  recheck,
  states,
  baselineStateId,
}: Pick<RecheckInput, 'recheck' | 'states' | 'baselineStateId'>): SwappedItem[] {
  const before = states.find(({ id }) => id === baselineStateId)?.configuration ?? [];
  const after = states.find(({ id }) => id === recheck.stateId)?.configuration;
  if (after === undefined) return [];
  const identity = ({ serial, revision, detail }: (typeof before)[number]): string =>
    [serial, revision, detail].filter((text) => text !== '').join(', ') || 'without a serial';
  const identities = (list: typeof before, item: string): string[] =>
    list
      .filter((one) => one.item === item)
      .map(identity)
      .sort();
  return [...new Set([...before, ...after].map(({ item }) => item))].flatMap((item) => {
    const [frozen, found] = [identities(before, item), identities(after, item)];
    if (frozen.join('; ') === found.join('; ')) return [];
    return [{ item, frozen: frozen.join('; ') || 'not fitted', found: found.join('; ') || 'not fitted' }];
  });
}

/** What the settings of a capture are told from. */
export interface TakenAs {
  readonly settings: CaptureSettings;
  readonly unitName: string;
  readonly startHz: number;
  readonly stopHz: number;
  readonly points: number;
  readonly condition: Condition | null;
}

function takenAs({ trace: { frequencyHz, settings, unit }, condition }: TriagedTrace): TakenAs {
  const points = frequencyHz.length;
  return {
    settings,
    unitName: unit.name,
    startHz: frequencyHz[0]!,
    stopHz: frequencyHz[points - 1]!,
    points,
    condition,
  };
}

/** Settings of a repeat that are not those of its baseline. Empty: it was taken as the baseline was. */
export function settingDifferencesOf(baseline: TakenAs, repeat: TakenAs): SettingDifference[] {
  const [frozenFacts, foundFacts] = [facts(baseline), facts(repeat)];
  const differences = [...frozenFacts].flatMap(([setting, frozen]) => {
    const found = foundFacts.get(setting) ?? 'not stated';
    return found === frozen ? [] : [{ setting, frozen, found }];
  });
  const [before, after] = [baseline.condition?.temperatureC ?? null, repeat.condition?.temperatureC ?? null];
  const apart =
    before !== null && after !== null && Math.abs(after - before) > DEFAULT_VERDICT_SETTINGS.likeTemperatureK;
  return apart
    ? [...differences, { setting: 'temperature', frozen: `${before} °C`, found: `${after} °C` }]
    : differences;
}

function facts({ settings, unitName, startHz, stopHz, points, condition }: TakenAs): Map<string, string> {
  const taken = applyCondition(settings, condition);
  const said = (value: string | number | null): string => (value === null ? 'not stated' : String(value));
  return new Map([
    ['RBW', taken.rbwHz === null ? 'not stated' : formatFrequency(taken.rbwHz)],
    ['averages', said(taken.averages)],
    ['averaging', taken.averaging],
    ['detector', taken.detector],
    ['attenuation [dB]', said(taken.attenuationDb)],
    ['gain [dB]', said(taken.gainDb)],
    ['unit', unitName],
    ['start', formatFrequency(startHz)],
    ['stop', formatFrequency(stopHz)],
    ['points', String(points)],
    ['mode', said(condition?.mode ?? null)],
    ['role', condition?.role ?? 'item'],
    ['sources on', listed(condition?.sourcesOn ?? null)],
    ['sources off', listed(condition?.sourcesOff ?? null)],
  ]);
}

function listed(names: readonly string[] | null): string {
  return names === null ? 'not stated' : [...names].sort().join(' ') || 'none';
}

/** Baseline captures that the same captures repeat are one side. */
function groupedByRepeats(items: readonly RecheckItem[]): RecheckItem[][] {
  const groups = new Map<string, RecheckItem[]>();
  for (const item of items) {
    const key = [...item.repeatedBy].sort((a, b) => a - b).join();
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return [...groups.values()];
}

function linesOf(
  group: readonly RecheckItem[],
  { triaged, sources, bands, decisions = [] }: RecheckInput,
): RecheckLine[] {
  const decided = (id: number): TriagedTrace[] => {
    const alone = triaged.get(id);
    return alone === undefined ? [] : [decidedTriage(alone, decisionsOn(id, decisions), sources)];
  };
  const before = group.flatMap(({ baselineCaptureId }) => decided(baselineCaptureId));
  const after = group[0]!.repeatedBy.flatMap(decided);
  const comparison = compareSides({ before, after, sources, bands, settings: DEFAULT_COMPARE_SETTINGS });
  return comparison.tracks.flatMap((track) => {
    const line = lineOf(track, comparison, group[0]!.baselineCaptureId);
    return line === null ? [] : [line];
  });
}

function lineOf(track: Track, comparison: Comparison, baselineCaptureId: number): RecheckLine | null {
  const { beforeSpur, afterSpur } = track;
  const before = beforeSpur === null ? null : comparison.beforeSpurs[beforeSpur]!;
  const after = afterSpur === null ? null : comparison.afterSpurs[afterSpur]!;
  const cause = (
    afterSpur === null ? comparison.beforeExplanations[beforeSpur!] : comparison.afterExplanations[afterSpur]
  )?.cause;
  // what is of the surroundings or of the kit is not the build's
  if (cause === 'ambient' || cause === 'instrument') return null;
  const shiftSigmaHz =
    before === null || after === null ? null : Math.hypot(before.frequencySigmaHz, after.frequencySigmaHz);
  const finding = findingOf(track, shiftSigmaHz);
  return {
    finding,
    baselineCaptureId,
    frequencyHz: (after ?? before)!.frequencyHz,
    source: track.source,
    harmonic: track.harmonic,
    status: track.status,
    changeDb: track.changeDb,
    changeSigmaDb: track.changeSigmaDb,
    shiftHz: track.shiftHz,
    shiftSigmaHz,
    why: finding === 'drift' ? driftWhy(track, before!.frequencyHz) : track.why,
  };
}

function findingOf({ status, exercised, shiftHz }: Track, shiftSigmaHz: number | null): RecheckFinding {
  switch (status) {
    case 'stronger':
      return 'stronger';
    case 'new':
    case 'back':
      return 'new';
    case 'hidden':
    case 'uncovered':
      return 'untested';
    case 'cleared':
      // a source that nobody knows to have run leaves no line either
      return exercised === 'unknown' ? 'untested' : 'weaker';
    case 'weaker':
      return 'weaker';
    case 'persists':
      return shiftHz !== null && shiftSigmaHz !== null && Math.abs(shiftHz) > DRIFT_SIGMA * shiftSigmaHz
        ? 'drift'
        : 'held';
  }
}

function driftWhy({ shiftHz, why }: Track, fromHz: number): string {
  const ppm = (1e6 * shiftHz!) / fromHz;
  return `Moved by ${formatSigned(shiftHz!, 0)} Hz (${formatSigned(ppm, 0)} ppm). ${why}`;
}

function untestedLines(baselineCaptureId: number, baseline: TriagedTrace | undefined): RecheckLine[] {
  return (baseline?.triage.spurs ?? []).flatMap((spur, i): RecheckLine[] => {
    const explanation = baseline!.triage.explanations[i]!;
    if (explanation.cause === 'ambient' || explanation.cause === 'instrument') return [];
    const [best] = explanation.cause === 'source' ? explanation.candidates : [];
    return [
      {
        finding: 'untested',
        baselineCaptureId,
        frequencyHz: spur.frequencyHz,
        source: best?.source ?? null,
        harmonic: best?.harmonic ?? null,
        status: null,
        changeDb: null,
        changeSigmaDb: null,
        shiftHz: null,
        shiftSigmaHz: null,
        why: 'The capture that showed it has not been repeated.',
      },
    ];
  });
}

function countsOf(lines: readonly RecheckLine[]): RecheckJudgement['counts'] {
  const counts: Record<RecheckFinding, number> = { held: 0, drift: 0, weaker: 0, stronger: 0, new: 0, untested: 0 };
  for (const { finding } of lines) counts[finding]++;
  return counts;
}

function plural(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}
