import type {
  Answer,
  Api,
  CallName,
  CaptureSummary,
  Client,
  EventName,
  Events,
  RegisterInfo,
  SourceEntry,
  TraceColumns,
  TriageView,
} from '../../src-main/api/contract.ts';
import type { LineExplanation } from '../../src-main/model/attribution.ts';
import type { BuildState, EnvironmentEvent, Fix } from '../../src-main/model/build-state.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import type { Comb } from '../../src-main/model/comb.ts';
import { silentCondition } from '../../src-main/model/silent-condition.ts';
import type { Decision } from '../../src-main/model/decision.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import type { MeasuringPoint } from '../../src-main/model/measuring-point.ts';
import type { Source } from '../../src-main/model/source.ts';
import type { Spur } from '../../src-main/model/spur.ts';
import type { Track } from '../../src-main/model/track.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';

/** Invented, seeded data behind the contract: enough to look at every screen and to test the page's own state. No engine runs. */

export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export function source(designator: string, nominalHz: number, more: Partial<Source> = {}): Source {
  return {
    designator,
    kind: 'converter',
    nominalHz,
    tolerancePpm: 30_000,
    driftPpmPerK: null,
    spreadPpm: null,
    lock: null,
    duty: null,
    riseS: null,
    maxHarmonic: null,
    adjust: null,
    fedBy: null,
    owner: 'ours',
    serial: '',
    notes: '',
    ...more,
  };
}

const START = 1e6;
const STEP = 3e3;
const POINTS = 6334;
const floorAt = (hz: number) => -103 + 6 * Math.exp(-(hz / 1e6 - 1) / 2.2) + Math.sin((hz / 1e6) * 0.7);

export interface Scene {
  readonly levels: Float64Array;
  readonly triage: TriageView;
}

/** One capture: combs of three sources, one nobody owns, one ambiguous line and a lone one. `shiftDb` moves source B. */
export function scene(
  captureId: number,
  seed: number,
  shiftDb = 0,
  sources: readonly string[] = ['5V-MAIN', '3V3-DIG', 'BUS-ISO'],
): Scene {
  const random = seeded(seed);
  const gauss = () => random() + random() + random() + random() + random() + random() - 3;
  const levels = Float64Array.from({ length: POINTS }, (_, i) => floorAt(START + i * STEP) + gauss() * 0.9);
  const spurs: Spur[] = [];
  const explanations: LineExplanation[] = [];
  const add = (hz: number, over: number, explanation: LineExplanation) => {
    if (over < 4) return;
    const levelDb = floorAt(hz) + over;
    const at = Math.round((hz - START) / STEP);
    for (let i = Math.max(0, at - 3); i <= Math.min(POINTS - 1, at + 3); i++) {
      const line = levelDb - 3.1 * ((START + i * STEP - hz) / STEP) ** 2;
      levels[i] = 10 * Math.log10(10 ** (levels[i]! / 10) + 10 ** (line / 10));
    }
    spurs.push({
      frequencyHz: hz,
      frequencySigmaHz: Math.max(9, 380 / 10 ** (over / 22)),
      levelDb,
      levelSigmaDb: over > 12 ? 0.7 : 1.3,
      floorDb: floorAt(hz),
      overFloorDb: over,
      widthHz: STEP,
      shape: 'line',
      peakIndex: at,
      firstIndex: Math.max(0, at - 2),
      lastIndex: Math.min(POINTS - 1, at + 2),
      crowded: false,
    });
    explanations.push(explanation);
  };
  const combs: Comb[] = [];
  const comb = (
    name: string | null,
    fundamentalHz: number,
    sigma: number,
    height: number,
    slope: number,
    every = 1,
  ) => {
    const expected: number[] = [];
    const seen: number[] = [];
    for (let n = Math.ceil(START / fundamentalHz); n * fundamentalHz < START + STEP * POINTS; n++) {
      expected.push(n);
      const over = height - slope * Math.log10(n) + gauss() * 2.4 + (n % 2 === 0 ? -2 : 0);
      if (over < 4 || n % every !== 0) continue;
      seen.push(n);
      const hz = fundamentalHz * n + gauss() * sigma * 2;
      const candidate = {
        source: name,
        harmonic: n,
        predictedHz: fundamentalHz * n,
        predictedSigmaHz: sigma * n,
        chance: name === null ? 2e-6 : 3e-12,
      };
      if (name === '3V3-DIG' && n === 21) {
        const other = {
          source: 'BUS-ISO',
          harmonic: 50,
          predictedHz: 251.16e3 * 50,
          predictedSigmaHz: 3000,
          chance: 0.02,
        };
        add(hz, over + 6, {
          cause: 'ambiguous',
          candidates: [candidate, other],
          why: '3V3-DIG × 21 and BUS-ISO × 50 both lie within 3 sigma of it, and the capture cannot choose.',
        });
      } else {
        const why =
          name === null
            ? `It is tooth ${n} of a comb at ${(fundamentalHz / 1e3).toFixed(3)} kHz that no entry owns.`
            : `It lies on ${name} × ${n}, and ${name} shows a comb here.`;
        add(hz, over, { cause: name === null ? 'unknown-comb' : 'source', candidates: [candidate], why });
      }
    }
    combs.push({
      source: name,
      fundamentalHz,
      fundamentalSigmaHz: sigma,
      harmonicsSeen: seen,
      harmonicsExpected: expected,
      chance: name === null ? 2e-6 : 3e-12,
      couldAlsoBe: [],
    });
  };
  if (sources.includes('5V-MAIN')) comb('5V-MAIN', 409.6e3, 0.8, 50, 25);
  if (sources.includes('3V3-DIG')) comb('3V3-DIG', 598.034e3, 21, 40 + shiftDb, 21);
  if (sources.includes('BUS-ISO')) comb('BUS-ISO', 251.16e3, 60, 42, 21, 2);
  comb(null, 733.412e3, 38, 33, 17);
  for (const [hz, over] of [
    [4.4412e6, 12],
    [10.5187e6, 9],
    [14.991e6, 7],
  ] as const) {
    add(hz, over, {
      cause: 'unexplained',
      candidates: [],
      why: 'No source of the register and no comb puts a line here.',
    });
  }
  add(10e6, 14.6, {
    cause: 'instrument',
    candidates: [],
    why: 'It stands at the reference frequency of the analyser.',
  });
  const order = spurs.map((_, i) => i).toSorted((a, b) => spurs[a]!.frequencyHz - spurs[b]!.frequencyHz);
  const triage: TriageView = {
    captureId,
    traceIndex: 0,
    settings: DEFAULT_TRIAGE_SETTINGS,
    floor: {
      sigmaDb: 0.4,
      statistic: 'chi-square',
      averages: 32,
      pointSpreadDb: 0.78,
      windowPoints: 101,
      falseAlarmsExpected: 0.05,
      weakestDetectableOverFloorDb: 4.1,
      why: 'Chi-square statistics of 32 power averages, as the file states them.',
    },
    spurs: order.map((i) => spurs[i]!),
    explanations: order.map((i) => explanations[i]!),
    combs,
    below: [],
    families: [],
    spreads: [],
    notSeen: [
      { source: 'HEAT-PWM', reason: 'its harmonics lie closer than the RBW can tell apart above 3 MHz' },
      { source: 'VALVE-DRV', reason: 'switched off in this capture: nothing can be said' },
    ],
    warnings: [],
  };
  return { levels, triage };
}

function columnsOf(
  captureId: number,
  levels: Float64Array,
  lowHz: number,
  highHz: number,
  columns: number,
): TraceColumns {
  const from = Math.max(0, Math.floor((lowHz - START) / STEP) - 1);
  const to = Math.min(POINTS - 1, Math.ceil((highHz - START) / STEP) + 1);
  const perColumn = Math.max(1, Math.ceil((to - from + 1) / columns));
  const n = Math.ceil((to - from + 1) / perColumn);
  const make = () => new Float64Array(n);
  const [frequencyHz, minimumDb, maximumDb, floorDb, thresholdDb] = [make(), make(), make(), make(), make()];
  for (let c = 0; c < n; c++) {
    const part = levels.subarray(from + c * perColumn, Math.min(to + 1, from + (c + 1) * perColumn));
    frequencyHz[c] = START + (from + c * perColumn) * STEP;
    minimumDb[c] = Math.min(...part);
    maximumDb[c] = Math.max(...part);
    floorDb[c] = floorAt(frequencyHz[c]!);
    thresholdDb[c] = floorDb[c]! + 3.4;
  }
  return { captureId, traceIndex: 0, frequencyHz, minimumDb, maximumDb, floorDb, thresholdDb, thinned: perColumn > 1 };
}

function summary(id: number, file: string, stateId: number | null): CaptureSummary {
  return {
    id,
    file,
    sha256: id.toString(16).padStart(64, '0'),
    layout: 'comma-separated table, frequency in Hz, level in dBm',
    warnings: id === 2 ? ['The preamble says 6335 points, the table holds 6334.'] : [],
    traces: [
      {
        label: '',
        points: POINTS,
        blankPoints: 0,
        startHz: START,
        stopHz: START + (POINTS - 1) * STEP,
        unit: { name: 'dBm', scale: 'decibel', perHz: false },
        settings: { ...UNKNOWN_SETTINGS, rbwHz: 3000, averages: 32, averaging: 'power', detector: 'rms' },
      },
    ],
    traceIndex: 0,
    stateId,
    pointId: 1,
    condition: silentCondition(file),
    addedAt: '2026-03-17T14:02:00Z',
    spurs: null,
  };
}

export interface FakeOptions {
  readonly isEmpty?: boolean;
}

/** Kept in the browser's memory only. */
export class FakeClient implements Client {
  captures: CaptureSummary[] = [];
  sources: SourceEntry[] = [];
  states: BuildState[] = [];
  fixes: Fix[] = [];
  points: MeasuringPoint[] = [];
  events: EnvironmentEvent[] = [];
  decisions: Decision[] = [];
  readonly calls: { name: CallName; argument: unknown }[] = [];
  readonly #scenes = new Map<number, Scene>();
  readonly #listeners: { [E in EventName]: Set<(event: Events[E]) => void> } = {
    progress: new Set(),
    registerChanged: new Set(),
    captureArrived: new Set(),
  };
  #next = 100;

  constructor(options: FakeOptions = {}) {
    if (options.isEmpty === true) return;
    const entries = [
      source('5V-MAIN', 410e3, {
        tolerancePpm: 20_000,
        notes: 'step-down',
        adjust: { lowHz: 380e3, highHz: 450e3, stepHz: null },
      }),
      source('3V3-DIG', 598e3, { notes: 'step-down', fedBy: '5V-MAIN' }),
      source('BUS-ISO', 251e3, { tolerancePpm: null, notes: 'isolated', owner: 'host' }),
      source('HEAT-PWM', 20.8e3, { kind: 'other', tolerancePpm: 10_000 }),
      source('XO', 16.384e6, { kind: 'clock', tolerancePpm: 25 }),
      source('VALVE-DRV', 62.5e3, { kind: 'other', tolerancePpm: 100_000 }),
    ];
    this.sources = entries.map((entry, order) => ({ source: entry, letter: 'ABCDEFGH'[order]!, order, revision: 1 }));
    const state = (id: number, name: string, description: string, parentId: number | null): BuildState => ({
      id,
      name,
      description,
      parentId,
      at: `2026-03-0${id}T10:00:00Z`,
      configuration: [{ item: 'receiver board', serial: '003', revision: 'C', detail: '' }],
    });
    this.states = [
      state(1, 'S0', 'as built', null),
      state(2, 'S1', 'choke on BUS-ISO input', 1),
      state(3, 'S2', 'shield can over 3V3-DIG', 2),
    ];
    this.fixes = [
      {
        id: 1,
        fromStateId: 1,
        toStateId: 2,
        change: 'common-mode choke on BUS-ISO input',
        sources: ['BUS-ISO'],
        by: 'bench',
        at: '2026-03-02T09:00:00Z',
        undoneAt: null,
        notes: '',
      },
      {
        id: 2,
        fromStateId: 2,
        toStateId: 3,
        change: 'shield can over 3V3-DIG',
        sources: ['3V3-DIG'],
        by: 'bench',
        at: '2026-03-03T09:00:00Z',
        undoneAt: '2026-03-04T09:00:00Z',
        notes: '',
      },
    ];
    this.points = [
      {
        id: 1,
        name: 'antenna port',
        kind: 'receiver-port',
        where: 'J1',
        coupling: 'direct',
        conductors: '',
        orientation: '',
        heightM: null,
        bonding: '',
        notes: '',
      },
    ];
    this.captures = [summary(1, 's0-antenna.csv', 1), summary(2, 's1-antenna.csv', 2), summary(3, 's2-antenna.csv', 3)];
  }

  get info(): RegisterInfo {
    return {
      path: '/registers/wren.spurledger',
      key: 'wren-key',
      title: 'Wren',
      isScratch: this.sources.length === 0,
      isInvented: this.sources.length > 0,
      readOnly: false,
      schemaVersion: 1,
      captures: this.captures.length,
      sources: this.sources.length,
      states: this.states.length,
      keptAt: '2026-03-17T14:02:00Z',
      canUndo: true,
      canRedo: false,
      undoSummary: 'source 3V3-DIG changed',
      redoSummary: null,
    };
  }

  on<E extends EventName>(name: E, listener: (event: Events[E]) => void): () => void {
    const set = this.#listeners[name] as Set<(event: Events[E]) => void>;
    set.add(listener);
    return () => set.delete(listener);
  }

  push<E extends EventName>(name: E, event: Events[E]): void {
    for (const listener of this.#listeners[name]) listener(event);
  }

  async call<K extends CallName>(
    name: K,
    argument: Parameters<Api[K]>[0],
  ): Promise<Answer<Awaited<ReturnType<Api[K]>>>> {
    this.calls.push({ name, argument });
    await Promise.resolve();
    const act = (this.#acts as Partial<Record<CallName, (argument: never) => unknown>>)[name];
    if (act === undefined)
      return { ok: false, problem: { kind: 'refused', message: `${name} is not invented here`, problem: null } };
    try {
      return { ok: true, value: act(argument as never) as Awaited<ReturnType<Api[K]>> };
    } catch (error) {
      if (error instanceof InputError)
        return { ok: false, problem: { kind: 'input', message: error.message, problem: error.problem } };
      throw error;
    }
  }

  scene(captureId: number): Scene {
    let made = this.#scenes.get(captureId);
    if (made === undefined) {
      const isFixed = captureId >= 3;
      this.#scenes.set(
        captureId,
        (made = scene(
          captureId,
          captureId,
          isFixed ? -9 : 0,
          this.sources.map((entry) => entry.source.designator),
        )),
      );
    }
    return made;
  }

  readonly #acts: { [K in CallName]?: (argument: Parameters<Api[K]>[0]) => Awaited<ReturnType<Api[K]>> } = {
    about: () => ({ version: '0', host: 'direct', platform: 'test', documentsFolder: '/registers' }),
    registerInfo: () => this.info,
    registerRecent: () => [
      { path: '/registers/wren.spurledger', title: 'Wren', openedAt: '2026-03-17T14:02:00Z', exists: true },
    ],
    folderList: () => ({
      path: '/registers',
      parent: '/',
      entries: [
        { name: 'wren.spurledger', path: '/registers/wren.spurledger', kind: 'register' },
        { name: 'old', path: '/registers/old', kind: 'folder' },
      ],
    }),
    pageKept: () => ({ look: null, place: null }),
    pageKeep: () => undefined,
    undo: () => this.info,
    redo: () => this.info,
    history: () => [
      {
        id: 2,
        at: '2026-03-17T14:02:00Z',
        who: 'bench',
        subject: 'source',
        subjectKey: '3V3-DIG',
        action: 'change',
        summary: 'source 3V3-DIG changed',
        before: '{"nominalHz":600000,"notes":""}',
        after: '{"nominalHz":598000,"notes":"step-down"}',
        concerns: null,
        undoable: true,
      },
      {
        id: 1,
        at: '2026-03-17T13:58:00Z',
        who: 'bench',
        subject: 'capture',
        subjectKey: '1',
        action: 'add',
        summary: 'capture s0-antenna.csv added',
        before: null,
        after: '{"file":"s0-antenna.csv"}',
        concerns: null,
        undoable: false,
      },
    ],
    captureAdd: ({ file }) => {
      if (file.startsWith('bad'))
        throw new InputError({
          file,
          place: 'line 14, column 2',
          found: '“n/a”',
          expected: 'a level',
          wayOut: 'Leave the cell empty where the level is not known.',
        });
      const capture = summary(this.#next++, file, null);
      this.captures = [...this.captures, capture];
      return { capture, alreadyKnown: false };
    },
    captureList: () => this.captures,
    captureRemove: ({ captureIds }) => void (this.captures = this.captures.filter((c) => !captureIds.includes(c.id))),
    captureAssign: ({ captureIds, stateId, pointId, role, condition: change }) => {
      this.captures = this.captures.map((c) => {
        if (!captureIds.includes(c.id)) return c;
        const next = { ...c, condition: { ...c.condition, ...change, ...(role === undefined ? {} : { role }) } };
        return {
          ...next,
          stateId: stateId === undefined ? c.stateId : stateId,
          pointId: pointId === undefined ? c.pointId : pointId,
        };
      });
      return this.captures.filter((c) => captureIds.includes(c.id));
    },
    traceColumns: ({ captureId, lowHz, highHz, columns }) =>
      columnsOf(captureId, this.scene(captureId).levels, lowHz, highHz, columns),
    overlayColumns: ({ captureIds, lowHz, highHz, columns }) =>
      columnsOf(captureIds[0]!, this.scene(captureIds[0]!).levels, lowHz, highHz, columns),
    waterfall: ({ captureIds, columns }) => ({
      rows: captureIds.map((captureId) => ({ captureId, combs: this.scene(captureId).triage.combs })),
      columns,
      levelDb: new Float32Array(captureIds.length * columns).fill(-100),
    }),
    triageRun: ({ captureId }) => this.scene(captureId).triage,
    triageGet: ({ captureId }) => this.scene(captureId).triage,
    evidenceGet: ({ captureId }) => this.#evidence(captureId),
    evidenceRun: ({ captureId }) => this.#evidence(captureId),
    driftOffers: () => [],
    compareRun: ({ beforeCaptureIds, afterCaptureIds }) => this.#compare(beforeCaptureIds, afterCaptureIds),
    fitToCompare: ({ beforeCaptureIds, afterCaptureIds }) => {
      const fileOf = (id: number) => this.captures.find((capture) => capture.id === id)!.file;
      return [...beforeCaptureIds, ...afterCaptureIds].map((id) => ({
        weight: 'doubt' as const,
        name: 'detector',
        message: `${fileOf(id)}: its detector is not stated.`,
      }));
    },
    exportRun: ({ what }) => ({ file: `wren-${what.of}.${what.as}`, text: JSON.stringify(what) }),
    cancel: () => undefined,
    sourceList: () => this.sources,
    sourceCheck: ({ source: entry, replaces }) =>
      this.sources.some((other) => other.source.designator === entry.designator && entry.designator !== replaces)
        ? [{ field: 'designator', message: 'another source has this designator' }]
        : [],
    sourcePut: ({ source: entry, replaces }) => {
      const old = this.sources.find((other) => other.source.designator === replaces);
      const next: SourceEntry =
        old === undefined
          ? { source: entry, letter: 'ABCDEFGHIJ'[this.sources.length]!, order: this.sources.length, revision: 1 }
          : { ...old, source: entry, revision: old.revision + 1 };
      this.sources =
        old === undefined ? [...this.sources, next] : this.sources.map((other) => (other === old ? next : other));
      this.#scenes.clear();
      return next;
    },
    sourceRemove: ({ designator }) =>
      void (this.sources = this.sources.filter((other) => other.source.designator !== designator)),
    sourceExport: () => ({ file: 'sources.csv', text: 'designator,kind,nominal_hz\n' }),
    bandList: () =>
      this.sources.length === 0
        ? []
        : [2, 9, 17.5].map((low, i) => ({
            name: ['2–6 MHz', '9–13 MHz', '17.5–18.5 MHz'][i]!,
            lowHz: low * 1e6,
            highHz: [6, 13, 18.5][i]! * 1e6,
            channelHz: 20e3,
            channelOriginHz: null,
            allowedOverFloorDb: 6,
            allowedLevel: null,
            allowedUnit: null,
            weight: 1,
            sampleRateHz: null,
            localOscillatorHz: null,
          })),
    stateList: () => this.states,
    statePut: ({ id, ...rest }) => {
      const state: BuildState = { id: id ?? this.#next++, ...rest };
      this.states = id === null ? [...this.states, state] : this.states.map((s) => (s.id === id ? state : s));
      return state;
    },
    fixList: () => this.fixes,
    fixPut: ({ id, ...rest }) => {
      const fix: Fix = { id: id ?? this.#next++, ...rest };
      this.fixes = id === null ? [...this.fixes, fix] : this.fixes.map((f) => (f.id === id ? fix : f));
      return fix;
    },
    pointList: () => this.points,
    eventList: () => this.events,
    decisionList: ({ captureId }) => this.decisions.filter((d) => d.captureId === captureId),
    decisionPut: ({ id, ...rest }) => {
      const decision: Decision = { ...rest, id: id ?? this.#next++, at: '2026-03-17T14:05:00Z' };
      this.decisions = [...this.decisions.filter((d) => d.id !== decision.id), decision];
      return decision;
    },
    decisionPutMany: ({ decisions }) =>
      decisions.map(({ id, ...rest }) => {
        const decision: Decision = { ...rest, id: id ?? this.#next++, at: '2026-03-17T14:05:00Z' };
        this.decisions = [...this.decisions.filter((d) => d.id !== decision.id), decision];
        return decision;
      }),
  };

  /** No other capture says anything: what stands is what the capture's own triage says. */
  #evidence(captureId: number): Awaited<ReturnType<Api['evidenceRun']>> {
    const { explanations, combs, notSeen } = this.scene(captureId).triage;
    return {
      captureId,
      explanations: explanations.map((explanation) => ({
        ...explanation,
        evidence: [],
        causeAlone: explanation.cause,
      })),
      combs,
      notSeen,
      references: [],
      loadShifts: [],
      decisions: [],
      warnings: [],
    };
  }

  #compare(
    beforeCaptureIds: readonly number[],
    afterCaptureIds: readonly number[],
  ): Awaited<ReturnType<Api['compareRun']>> {
    const before = this.scene(beforeCaptureIds[0]!).triage;
    const after = this.scene(afterCaptureIds[0]!).triage;
    const tracks = before.spurs.map((spur, index): Track => {
      const found = after.spurs.findIndex((other) => Math.abs(other.frequencyHz - spur.frequencyHz) < 2000);
      const [owner] = before.explanations[index]!.candidates;
      const changeDb = found < 0 ? null : after.spurs[found]!.levelDb - spur.levelDb;
      const status =
        found < 0
          ? spur.frequencyHz < 5e6
            ? 'hidden'
            : 'cleared'
          : Math.abs(changeDb!) < 3
            ? 'persists'
            : changeDb! < 0
              ? 'weaker'
              : 'stronger';
      return {
        status,
        beforeSpur: index,
        afterSpur: found < 0 ? null : found,
        changeDb,
        changeSigmaDb: changeDb === null ? null : 1.1,
        atLeastDb: status === 'cleared' ? 8.2 : null,
        shiftHz: null,
        upperLimitDb: found < 0 ? spur.floorDb + 2 : null,
        exercised: 'shown',
        source: owner?.source ?? null,
        harmonic: owner?.harmonic ?? null,
        why: 'Invented for the look of it.',
      };
    });
    return {
      beforeCaptureIds,
      afterCaptureIds,
      unit: 'dBm',
      tracks,
      beforeSpurs: before.spurs,
      afterSpurs: after.spurs,
      beforeExplanations: before.explanations,
      afterExplanations: after.explanations,
      sources: [],
      warnings: ['No re-rigged repeat on either side: 1 dB is taken for the repeatability of the set-up.'],
      sentence: 'Twelve of 3V3-DIG’s spurs are weaker by 9 dB; three are cleared, one cannot be judged.',
    };
  }
}
