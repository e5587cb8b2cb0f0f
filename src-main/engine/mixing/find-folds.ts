import type { BandImages } from './band-images.ts';
import type { Found } from './found.ts';
import type { FreeLines, Place } from './free-lines.ts';
import { judgeNested, judgePlaces, type Judged } from './judge-places.ts';
import { chanceText, frequencyText, offsetText } from './say-mixing.ts';
import { isHarmonic, type Subject } from './subjects.ts';

/** A source that may run, and where its fundamental may lie. */
export interface FoldSource {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
  readonly maxHarmonic: number;
}

export interface FoldInput {
  readonly lines: FreeLines;
  readonly bands: readonly BandImages[];
  /** Combs that are claimed: their fundamentals are known. */
  readonly subjects: readonly Subject[];
  /** Running sources without a comb. */
  readonly sources: readonly FoldSource[];
}

interface FoldPlace extends Place {
  readonly harmonic: number;
}

/** Nested sets of the lowest folded harmonics; they share the right to be found. */
const HARMONICS = [8, 16, 32, 64, 128];
/** Highest harmonic taken for a fold: higher ones of a switching waveform are weak. A choice of this tool. */
const HIGHEST = 256;
/** A band that nobody named must do better by this factor. A choice of this tool. */
const UNSTATED = 10;
/** Halves, thirds and quarters of a comb's own spacing are no folds. */
const OWN_PARTS = 4;
/** Lines that only multiples of a small prime support belong to that multiple. */
const SUBLATTICE_PRIMES = [2, 3, 5];
const OFF_LATTICE_CHANCE = 0.05;
/** Fewer lines than this give no fundamental that is not known already. */
const FEWEST_LINES = 3;

/**
 * The source whose harmonics, folded by a band's sampling or mixed by its oscillator, fall on free lines best, against lines at random.
 *
 * A claimed comb's fundamental is known, and its folded places are judged as they are. Of any other source every free line and every
 * harmonic that it could be gives a fundamental (all such pairs are counted as tries); the other folded harmonics judge it. Over all bands,
 * sources and nested sets of harmonics (union bound).
 */
export function findFolds({ lines, bands, subjects, sources }: FoldInput): Found | null {
  if (lines.free.length === 0 || bands.length === 0) return null;
  let best: Best | null = null;
  const candidates = bands.length * (subjects.length + sources.length);
  for (const band of bands) {
    const burden = Math.log(candidates * HARMONICS.length * (band.stated ? 1 : UNSTATED));
    const consider = (
      subject: Subject,
      maxHarmonic: number,
      anchor: { line: number; harmonic: number; logTries: number } | null,
    ): void => {
      const places = placesOf(lines, band, subject, subjects, maxHarmonic);
      const others = anchor === null ? places : places.filter(({ harmonic }) => harmonic !== anchor.harmonic);
      const sizes = HARMONICS.filter((_, i) => i === 0 || others.length > HARMONICS[i - 1]!);
      for (const [i, judged] of judgeNested(lines, others, sizes).entries()) {
        const logChance = judged.logTail + burden + (anchor?.logTries ?? 0);
        if (judged.hits.length === 0 || (best !== null && logChance >= best.logChance)) continue;
        if (anchor !== null && judged.hits.length + 1 < FEWEST_LINES) continue;
        if (isSublattice(lines, judged, others.slice(0, sizes[i]))) continue;
        best = { band, subject, judged, logChance, anchor };
      }
    };
    for (const subject of subjects) consider(subject, HIGHEST, null);
    for (const source of sources) {
      const most = Math.min(source.maxHarmonic, HARMONICS.at(-1)!);
      const pairs = anchorsOf(lines, band, source);
      for (const { line, harmonic, fundamentalHz } of pairs.list) {
        const sigmaHz = lines.sigmaHz[line]! / harmonic;
        const subject = { source: source.name, name: source.name, fundamentalHz, sigmaHz };
        if (!hasHits(lines, band, subject, most)) continue;
        consider(refined(lines, band, subject, subjects, source.maxHarmonic), source.maxHarmonic, {
          line,
          harmonic,
          logTries: Math.log(pairs.tries),
        });
      }
    }
  }
  return best === null ? null : toFound(best, lines);
}

interface Best {
  readonly band: BandImages;
  readonly subject: Subject;
  readonly judged: Judged<FoldPlace>;
  readonly logChance: number;
  readonly anchor: { readonly line: number; readonly harmonic: number } | null;
}

/** The folded harmonics of a comb inside the span, lowest first; those that fall on a claimed comb's own harmonics are left out. */
function placesOf(
  lines: FreeLines,
  band: BandImages,
  subject: Subject,
  subjects: readonly Subject[],
  maxHarmonic: number,
): FoldPlace[] {
  const out: FoldPlace[] = [];
  for (let n = 1; n <= Math.min(maxHarmonic, HIGHEST); n++)
    for (const hz of band.of(n * subject.fundamentalHz)) {
      if (hz < lines.spanLowHz || hz > lines.spanHighHz) continue;
      const sigmaHz = n * subject.sigmaHz;
      const errorHz = Math.hypot(sigmaHz, 0.05 * lines.lineWidthHz);
      if (isHarmonic(hz, errorHz, subjects, lines.matchSigma)) continue;
      // what is left of its own lines between the harmonics has their spacing too
      if (isHarmonic(hz, errorHz, [subject], lines.matchSigma, OWN_PARTS)) continue;
      out.push({ hz, sigmaHz, harmonic: n });
    }
  return out;
}

/** Whether a guess finds three lines at all, counted without care for doubles: most do not, and need no more thought. */
function hasHits(lines: FreeLines, band: BandImages, { fundamentalHz, sigmaHz }: Subject, most: number): boolean {
  let hits = 0;
  for (let n = 1; n <= most; n++)
    for (const hz of band.of(n * fundamentalHz))
      if (lines.matchAt({ hz, sigmaHz: n * sigmaHz }) !== -1 && ++hits >= FEWEST_LINES) return true;
  return false;
}

/** Every pair of free line and harmonic that gives a fundamental in a source's range, and how many such pairs chance offers. */
function anchorsOf(lines: FreeLines, band: BandImages, { lowHz, highHz, maxHarmonic }: FoldSource) {
  const list: { line: number; harmonic: number; fundamentalHz: number }[] = [];
  const most = Math.min(maxHarmonic, HARMONICS.at(-1)!);
  for (const line of lines.free)
    for (const behindHz of band.behind(lines.frequencyHz[line]!, most * highHz))
      for (let n = Math.max(1, Math.ceil(behindHz / highHz)); n <= Math.min(most, behindHz / lowHz); n++)
        list.push({ line, harmonic: n, fundamentalHz: behindHz / n });
  // a line a little outside a narrow range would have been taken too
  return { list, tries: Math.max(1, list.length) };
}

/** One fundamental fitted to all folded harmonics that the first guess finds: those far up tell it best. */
function refined(
  lines: FreeLines,
  band: BandImages,
  guess: Subject,
  subjects: readonly Subject[],
  maxHarmonic: number,
): Subject {
  let weight = 0;
  let sum = 0;
  for (const place of placesOf(lines, band, guess, subjects, maxHarmonic)) {
    if (lines.isCovered(place) || lines.accidentAt(place) > 0.1) continue;
    const line = lines.matchAt(place);
    if (line === -1) continue;
    // the fold is a straight line of slope ±1 near the place
    const slope = slopeOf(band, place, guess.fundamentalHz);
    const fundamentalHz = guess.fundamentalHz + (slope * (lines.frequencyHz[line]! - place.hz)) / place.harmonic;
    const w = (place.harmonic / lines.sigmaHz[line]!) ** 2;
    weight += w;
    sum += w * fundamentalHz;
  }
  return weight === 0 ? guess : { ...guess, fundamentalHz: sum / weight, sigmaHz: Math.max(1 / Math.sqrt(weight), 0) };
}

function slopeOf(band: BandImages, { hz, harmonic }: FoldPlace, fundamentalHz: number): number {
  const moved = band.of(harmonic * fundamentalHz + 1);
  // at the edge of a zone the line turns round or leaves: upwards is as good as downwards there
  return moved.some((at) => Math.abs(at - (hz - 1)) < 0.5) ? -1 : 1;
}

function isSublattice(lines: FreeLines, { hits }: Judged<FoldPlace>, places: readonly FoldPlace[]): boolean {
  return SUBLATTICE_PRIMES.some((q) => {
    const on = hits.filter(({ place }) => place.harmonic % q === 0).length;
    if (on < 2) return false;
    const off = judgePlaces(
      lines,
      places.filter(({ harmonic }) => harmonic % q !== 0),
    );
    return off.logTail > Math.log(OFF_LATTICE_CHANCE);
  });
}

function toFound({ band, subject, judged, logChance, anchor }: Best, lines: FreeLines): Found {
  const members: { line: number; place: FoldPlace | null; harmonic: number }[] = judged.hits.map(({ place, line }) => ({
    line,
    place,
    harmonic: place.harmonic,
  }));
  if (anchor !== null && !members.some(({ line }) => line === anchor.line)) {
    const place = band
      .of(anchor.harmonic * subject.fundamentalHz)
      .map((hz) => ({ hz, sigmaHz: anchor.harmonic * subject.sigmaHz, harmonic: anchor.harmonic }))
      .sort(
        (a, b) => Math.abs(a.hz - lines.frequencyHz[anchor.line]!) - Math.abs(b.hz - lines.frequencyHz[anchor.line]!),
      )[0]!;
    members.push({ line: anchor.line, place, harmonic: anchor.harmonic });
  }
  const named = band.stated
    ? `taken through ${band.band}`
    : `if the capture was taken through ${band.band}, as its span suggests`;
  return {
    chance: Math.min(1, Math.exp(logChance)),
    family: (counted) => ({
      kind: 'fold',
      sources: [subject.source],
      spacingHz: null,
      spacingSigmaHz: null,
      band: band.band,
      spurs: members.map(({ line }) => line).sort((a, b) => a - b),
      places: judged.places + (anchor === null ? 0 : 1),
      chance: counted,
      why: `${members.length} lines where harmonics of ${subject.name} at ${frequencyText(subject.fundamentalHz)} would be folded or mixed to, ${named}; chance ${chanceText(counted)}.`,
    }),
    lines: members.map(({ line, place, harmonic }) => ({
      line,
      explain: (counted) => ({
        cause: 'source',
        candidates: [
          {
            source: subject.source,
            harmonic,
            predictedHz: place!.hz,
            predictedSigmaHz: place!.sigmaHz,
            chance: counted,
          },
        ],
        why: `Lies ${offsetText(lines.frequencyHz[line]! - place!.hz)} from harmonic ${harmonic} of ${subject.name} at ${frequencyText(harmonic * subject.fundamentalHz)}, ${band.howOf(harmonic * subject.fundamentalHz, place!.hz)}; ${named}; ${members.length} lines fit, chance ${chanceText(counted)}.`,
      }),
    })),
  };
}
