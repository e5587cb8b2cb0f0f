import type { Band } from '../model/band.ts';
import type { BuildState, EnvironmentEvent, Fix } from '../model/build-state.ts';
import type { Disposition, JudgedDisposition } from '../model/disposition.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../model/evidence-settings.ts';
import type { Judgement } from '../model/judgement.ts';
import type { LimitLine } from '../model/limit-line.ts';
import type { Requirement } from '../model/requirement.ts';
import type { Source } from '../model/source.ts';
import type { CaptureSensitivity, Verdict } from '../model/verdict.ts';
import type { VerdictSettings } from '../model/verdict-settings.ts';
import { studentTwoSided } from './numeric/student-quantile.ts';
import { decidedTriage } from './evidence/decided-explanations.ts';
import { AcceptedLines } from './verdict/accepted-lines.ts';
import { countBand, type CountedBand } from './verdict/band-cost.ts';
import { bandView, sensitivityOf, type BandView } from './verdict/band-view.ts';
import { channelsOf, piecesOf } from './verdict/channel-grid.ts';
import { CombNames } from './verdict/channel-owners.ts';
import { coverageMatrix, NO_POINT } from './verdict/coverage-matrix.ts';
import { evidenceFor } from './verdict/evidence-for.ts';
import { fixNext } from './verdict/fix-next.ts';
import { headingOf, sentenceOf } from './verdict/judgement-words.ts';
import { readingOf, showsItem, type JudgedCapture, type Reading } from './verdict/judged-capture.ts';
import { judgeRequirement } from './verdict/judge-requirement.ts';
import { ReferenceFloors } from './verdict/reference-floor.ts';
import { withoutCaptures } from './verdict/without-captures.ts';
import { weighEvidence } from './weigh-evidence.ts';

export type { JudgedCapture } from './verdict/judged-capture.ts';

export interface JudgeInput {
  readonly stateId: number;
  readonly states: readonly BuildState[];
  readonly fixes: readonly Fix[];
  readonly events: readonly EnvironmentEvent[];
  /** All captures of the register that belong to a state, every role. */
  readonly captures: readonly JudgedCapture[];
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  /** Every line that a requirement may name, built-in ones included. */
  readonly limits: readonly LimitLine[];
  readonly requirements: readonly Requirement[];
  readonly dispositions: readonly Disposition[];
  readonly settings: VerdictSettings;
  /** ISO 8601 date: acceptances expire. */
  readonly today: string;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/**
 * Judges one state of the build: requirements → bands → captures → verdicts, what was never measured, what each source costs, how every
 * acceptance stands. Pure: the same input gives the same result.
 *
 * 1. Every capture of the item is read once, its lines weighed against references, then given to whom engineers decided; its point's reference floor is the lowest that any state showed there.
 * 2. For each requirement, band, mode, temperature and point the captures that speak for it are chosen: the state's own, else those of an
 *    earlier state from which nothing was changed (or whose changed items somebody accepted).
 * 3. Each is held against what is allowed, cell by cell, and together they are ruled on.
 */
export function judgeBuild(input: JudgeInput): Judgement {
  const { stateId, states, sources, bands, requirements, settings } = input;
  const progress = input.onProgress ?? (() => {});
  const z = studentTwoSided(2 * (1 - settings.confidence), Infinity);
  const readings = input.captures
    .filter(showsItem)
    .map((capture) => readingOf(decided(weighed(capture, input), input)));
  const floors = new Map<string, ReferenceFloors>();
  for (const point of new Set(readings.map(pointOf)))
    floors.set(point, new ReferenceFloors(readings.filter((reading) => pointOf(reading) === point)));
  const accepted = new AcceptedLines(input, z);

  const known = new Map<string, BandView>();
  /** `channels`: cells are the receiver's channels and nothing is accepted (an accepted line still takes its channel). */
  const viewOf = (reading: Reading, band: Band, limit: LimitLine | null, cells: 'channels' | 'pieces'): BandView => {
    const key = `${reading.capture.captureId}/${band.name}/${limit?.name ?? ''}/${cells}`;
    let view = known.get(key);
    if (view === undefined) {
      const floor = floors.get(pointOf(reading))!.of(reading);
      const grid = cells === 'channels' ? channelsOf(band) : piecesOf(band);
      const accepts = cells === 'channels' ? () => false : accepted.test(reading, band);
      known.set(key, (view = bandView(reading, band, grid, limit, floor, accepts, settings, z)));
    }
    return view;
  };

  const points = (requirement: Requirement) => pointsOf(requirement, input);
  const verdicts: Verdict[] = [];
  requirements.forEach((requirement, r) => {
    progress((0.6 * r) / requirements.length, requirement.code);
    verdicts.push(...verdictsOf(requirement));
  });

  function verdictsOf(requirement: Requirement): Verdict[] {
    const limit = requirement.limit === null ? null : input.limits.find(({ name }) => name === requirement.limit);
    const cells = requirement.demand.kind === 'clean-channels' ? 'channels' : 'pieces';
    if (requirement.bands.length === 0)
      return [withoutCaptures(requirement, null, 'no band', 'it names no protected band')];
    const out: Verdict[] = [];
    for (const name of requirement.bands) {
      const band = bands.find((one) => one.name === name);
      if (band === undefined || limit === undefined) {
        const [reason, why] =
          band === undefined
            ? (['no band', `there is no band “${name}” in this register`] as const)
            : (['no limit', `there is no limit line “${requirement.limit}”`] as const);
        out.push(withoutCaptures(requirement, name, reason, why));
        continue;
      }
      for (const mode of requirement.modes.length === 0 ? [null] : requirement.modes)
        for (const temperature of requirement.temperatures.length === 0 ? [null] : requirement.temperatures)
          for (const point of points(requirement)) {
            const asked = { mode, temperature, point: point === '' ? null : point, band: band.name };
            const evidence = evidenceFor(asked, readings, input);
            const views = evidence.readings.map((reading) => viewOf(reading, band, limit, cells));
            out.push(
              judgeRequirement({
                requirement,
                band,
                limit,
                mode,
                temperature,
                point: asked.point,
                views,
                cells: cells === 'channels' ? channelsOf(band) : piecesOf(band),
                sources,
                notRunning: accepted.notRunning(asked),
                acceptedBy: [
                  ...evidence.dispositionIds,
                  ...(cells === 'channels' ? [] : views.flatMap((view) => accepted.reliedOn(view, band))),
                ],
                confidence: settings.confidence,
                missing: evidence.missing,
              }),
            );
          }
    }
    return out;
  }

  progress(0.6, 'channels of every state');
  const combs = new CombNames();
  const counted: CountedBand[] = [];
  for (const state of states)
    for (const point of floors.keys()) {
      const own = readings.filter((reading) => reading.capture.stateId === state.id && pointOf(reading) === point);
      if (own.length === 0) continue;
      for (const band of bands) {
        if (band.allowedLevel === null && band.allowedOverFloorDb === null) continue;
        const views = own.map((reading) => viewOf(reading, band, null, 'channels'));
        const where = { stateId: state.id, point, band: band.name };
        counted.push(countBand(views, channelsOf(band).length, where, band.weight, combs));
      }
    }

  progress(0.9, 'coverage');
  const own = readings.filter((reading) => reading.capture.stateId === stateId);
  const inUse = [
    ...new Set([
      ...own,
      ...readings.filter((one) => verdicts.some((v) => v.captureIds.includes(one.capture.captureId))),
    ]),
  ];
  const sensitivities: CaptureSensitivity[] = inUse.flatMap((reading) =>
    bands.map((band) => sensitivityOf(viewOf(reading, band, null, 'pieces'), band, piecesOf(band))),
  );
  const dispositions: JudgedDisposition[] = accepted.standings([...known.values()], inUse);
  const coverage = coverageMatrix(
    requirements.map((requirement) => ({
      requirement,
      points: points(requirement).map((one) => (one === '' ? NO_POINT : one)),
    })),
    bands,
    inUse,
  );
  const costs = counted.map(({ cost }) => cost);
  progress(1, 'done');
  return {
    stateId,
    settings,
    verdicts,
    coverage,
    sensitivities,
    costs,
    fixNext: fixNext(
      stateId,
      counted.filter(({ cost }) => cost.stateId === stateId),
      sources,
    ),
    dispositions,
    warnings: [
      ...new Set([
        ...[...known.values()].flatMap(({ warnings }) => warnings),
        ...decisionWarnings(readings, input),
        ...eventWarnings(input),
      ]),
    ],
    heading: headingOf(verdicts),
    sentence: sentenceOf(verdicts, coverage, settings.confidence),
  };
}

/**
 * A capture with its lines weighed against the references of its point (sources off, input terminated, attenuated): a line that is there
 * without the build is not held against it.
 */
function weighed(capture: JudgedCapture, { captures, sources }: JudgeInput): JudgedCapture {
  const others = captures
    .filter((other) => !showsItem(other) && other.point?.name === capture.point?.name)
    .map(({ triaged }) => triaged);
  if (others.length === 0) return capture;
  const { explanations, combs } = weighEvidence({
    subject: capture.triaged,
    others,
    sources,
    settings: DEFAULT_EVIDENCE_SETTINGS,
  });
  const triage = { ...capture.triaged.triage, explanations, combs };
  return { ...capture, triaged: { ...capture.triaged, triage } };
}

/** A decision comes last: it was made with the evidence in sight, and counts in its place. */
function decided(capture: JudgedCapture, { sources }: JudgeInput): JudgedCapture {
  return { ...capture, triaged: decidedTriage(capture.triaged, capture.decisions ?? [], sources) };
}

/** Decisions that change nothing, with the file whose line they were made on. */
function decisionWarnings(readings: readonly Reading[], { captures }: JudgeInput): string[] {
  return readings.flatMap(({ capture: { captureId, triaged } }) => {
    const plain = captures.find((one) => one.captureId === captureId)!.triaged.triage.warnings;
    return triaged.triage.warnings.slice(plain.length).map((warning) => `${triaged.file}: ${warning}`);
  });
}

function pointOf({ capture }: Reading): string {
  return capture.point?.name ?? NO_POINT;
}

/** The points a requirement is judged at; '' stands for captures that name no point. */
function pointsOf({ points }: Requirement, { captures }: JudgeInput): readonly string[] {
  if (points.length > 0) return points;
  const named = captures.filter(showsItem).map(({ point }) => point);
  const ports = named.filter((point) => point?.kind === 'receiver-port');
  const chosen = [...new Set((ports.length > 0 ? ports : named).map((point) => point?.name ?? ''))];
  return chosen.length === 0 ? [''] : chosen;
}

/** Evidence that is older than something that happened to the build since. */
function eventWarnings({ events, stateId, states }: JudgeInput): string[] {
  const state = states.find(({ id }) => id === stateId);
  if (state === undefined) return [];
  return events
    .filter((event) => event.afterStateId === stateId)
    .map(
      ({ kind, description }) =>
        `After ${state.name} came ${kind.replaceAll('-', ' ')}: ${description}. Captures of ${state.name} say nothing of what it did.`,
    );
}
