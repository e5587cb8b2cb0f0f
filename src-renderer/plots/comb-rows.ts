import type { SourceEntry, TriageView } from '../../src-main/api/contract.ts';
import { tolerancePpmOf } from '../../src-main/model/source-defaults.ts';
import type { OwnerLook, SourceNames } from '../state/source-names.ts';
import { frequency } from '../state/format.ts';

/** Where one comb's teeth lie and what is known of each. */
export interface CombRow {
  readonly look: OwnerLook;
  readonly fundamentalHz: number;
  /** Half the span, per harmonic, in which the tooth may lie: fitted doubt and spread, or the tolerance where nothing was fitted. */
  readonly halfHzPerHarmonic: number;
  readonly maxHarmonic: number | null;
  /** Harmonic → index of the spur found there, and whether that spur has other owners too. */
  readonly seen: ReadonlyMap<number, { readonly spur: number; readonly isShared: boolean }>;
  /** Why no tooth is drawn; null where teeth are. */
  readonly sentence: string | null;
  readonly isMeasured: boolean;
}

/** A row per source and per unknown comb, in the order of the register; `triage` null: from nominal values alone. */
export function combRows(
  sources: readonly SourceEntry[],
  triage: TriageView | null,
  names: SourceNames,
): readonly CombRow[] {
  const seen = seenBy(triage, names);
  const known = sources.map((entry): CombRow => {
    const { source } = entry;
    const look = names.source(source.designator);
    const comb = triage?.combs.find((candidate) => candidate.source === source.designator);
    const notSeen = triage?.notSeen.find((candidate) => candidate.source === source.designator);
    const spreadHalf = (source.nominalHz * (source.spreadPpm ?? 0)) / 2e6;
    if (comb !== undefined) {
      return {
        look,
        fundamentalHz: comb.fundamentalHz,
        halfHzPerHarmonic: Math.max(3 * comb.fundamentalSigmaHz, spreadHalf),
        maxHarmonic: source.maxHarmonic,
        seen: seen.get(look.key) ?? new Map(),
        sentence: null,
        isMeasured: true,
      };
    }
    return {
      look,
      fundamentalHz: nominalOf(entry, sources),
      halfHzPerHarmonic: (source.nominalHz * tolerancePpmOf(source).tolerancePpm) / 1e6 + spreadHalf,
      maxHarmonic: source.maxHarmonic,
      seen: seen.get(look.key) ?? new Map(),
      sentence: notSeen === undefined ? null : notSeen.reason,
      isMeasured: false,
    };
  });
  const unknown = names.unknownCombs.map((comb): CombRow => ({
    look: names.unknown(comb),
    fundamentalHz: comb.fundamentalHz,
    halfHzPerHarmonic: 3 * comb.fundamentalSigmaHz,
    maxHarmonic: null,
    seen: seen.get(names.unknown(comb).key) ?? new Map(),
    sentence: null,
    isMeasured: true,
  }));
  return [...known, ...unknown];
}

function nominalOf(entry: SourceEntry, sources: readonly SourceEntry[]): number {
  const { lock } = entry.source;
  const master = lock === null ? undefined : sources.find((other) => other.source.designator === lock.to);
  return lock === null || master === undefined || master === entry
    ? entry.source.nominalHz
    : (master.source.nominalHz * lock.numerator) / lock.denominator;
}

function seenBy(
  triage: TriageView | null,
  names: SourceNames,
): Map<string, Map<number, { spur: number; isShared: boolean }>> {
  const all = new Map<string, Map<number, { spur: number; isShared: boolean }>>();
  triage?.explanations.forEach((explanation, spur) => {
    if (!['source', 'ambiguous', 'shared', 'unknown-comb'].includes(explanation.cause)) return;
    const isShared = explanation.cause === 'ambiguous' || explanation.cause === 'shared';
    for (const candidate of explanation.candidates) {
      const { key } = names.candidate(candidate);
      let map = all.get(key);
      if (map === undefined) all.set(key, (map = new Map<number, { spur: number; isShared: boolean }>()));
      if (!map.has(candidate.harmonic)) map.set(candidate.harmonic, { spur, isShared });
      if (!isShared) break;
    }
  });
  return all;
}

export interface Tooth {
  readonly harmonic: number;
  readonly x: number;
  readonly half: number;
  readonly state: 'seen' | 'shared' | 'empty';
  readonly spur: number | null;
}

export interface TeethView {
  readonly teeth: readonly Tooth[];
  /** Words in place of teeth, or null. */
  readonly words: string | null;
  /** True where the row predicts nothing that could be told apart: shown as dots. */
  readonly isDots: boolean;
}

/** Below this spacing teeth cannot be told apart by eye. */
const LEAST_GAP_PX = 7;

/** The teeth of a row inside a view `width` pixels wide; `placeOf` says where a frequency lies, linearly where it is left out. */
export function teethIn(
  row: CombRow,
  lowHz: number,
  highHz: number,
  width: number,
  k: number,
  placeOf?: (hz: number) => number,
): TeethView {
  const perHz = width / (highHz - lowHz);
  const xOf = placeOf ?? ((hz: number) => (hz - lowHz) * perHz);
  const f = row.fundamentalHz;
  const first = Math.max(1, Math.ceil(lowHz / f));
  const last = Math.min(Math.floor(highHz / f), row.maxHarmonic ?? Infinity);
  const place = (harmonic: number, spur: number | null, state: Tooth['state']): Tooth => ({
    harmonic,
    x: xOf(harmonic * f),
    half: Math.max(
      2.4 * k,
      (xOf((f + row.halfHzPerHarmonic) * harmonic) - xOf((f - row.halfHzPerHarmonic) * harmonic)) / 2,
    ),
    state,
    spur,
  });
  if (row.sentence !== null) return { teeth: [], words: row.sentence, isDots: true };
  if (first > last) {
    const beyond = row.maxHarmonic !== null && first > row.maxHarmonic;
    const words = beyond
      ? `no tooth expected above ${row.look.letter}${row.maxHarmonic}`
      : `next tooth ${row.look.letter}${first} at ${frequency(first * f)} \u2192`;
    return { teeth: [], words, isDots: false };
  }
  const seenTeeth = [...row.seen].filter(([h]) => h >= first && h <= last);
  const gap = xOf((first + 1) * f) - xOf(first * f);
  const merged = 2 * row.halfHzPerHarmonic * first > 0.62 * f;
  if (merged || gap < LEAST_GAP_PX * k) {
    const words = merged
      ? row.isMeasured
        ? 'teeth too wide to tell apart here'
        : 'not measured: its teeth run into each other here'
      : `teeth too close to tell apart (${frequency(f)} spacing): zoom in`;
    return { teeth: seenTeeth.map(([h, { spur }]) => place(h, spur, 'seen')), words, isDots: true };
  }
  const teeth: Tooth[] = [];
  for (let harmonic = first, x = xOf(first * f); harmonic <= last; harmonic++) {
    const nextX = xOf((harmonic + 1) * f);
    // on a logarithmic axis teeth draw together upwards: from where they cannot be told apart only the seen ones stay
    if (nextX - x < LEAST_GAP_PX * k) {
      for (const [h, { spur }] of seenTeeth) if (h >= harmonic) teeth.push(place(h, spur, 'seen'));
      return {
        teeth,
        words: `teeth above ${frequency(Number((harmonic * f).toPrecision(3)))} too close to tell apart`,
        isDots: false,
      };
    }
    const found = row.seen.get(harmonic);
    teeth.push(
      place(harmonic, found?.spur ?? null, found === undefined ? 'empty' : found.isShared ? 'shared' : 'seen'),
    );
    x = nextX;
  }
  return { teeth, words: null, isDots: false };
}
