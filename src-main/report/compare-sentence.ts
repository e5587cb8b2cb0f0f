import type { Track, TrackStatus } from '../model/track.ts';
import { formatDecimal, formatFrequency, prefixFor } from '../units/format.ts';
import { countText } from './figures.ts';

/** Hidden spurs under which the floor rose, where they lie, and by how much it rose. */
export interface RisenFloor {
  readonly spurs: number;
  readonly lowHz: number;
  readonly highHz: number;
  /** Median rise over these spurs, dB. */
  readonly riseDb: number;
}

export interface SentenceInput {
  readonly tracks: readonly Track[];
  /** Designators the step was meant for; empty where nobody said, then every spur is meant. */
  readonly sources: readonly string[];
  /** Among the spurs it was meant for, and among all others; null where the floor rose under none. */
  readonly risenFloor: RisenFloor | null;
  readonly risenElsewhere: RisenFloor | null;
}

const CHANGES: readonly (readonly [TrackStatus, string])[] = [
  ['cleared', 'cleared'],
  ['weaker', 'weaker'],
  ['stronger', 'stronger'],
  ['persists', 'unchanged'],
];

/**
 * What a step did, in at most four sentences with numbers: the spurs it was meant for, those that cannot be judged
 * and why, and what changed for the worse elsewhere. "Not seen" is never called gone.
 */
export function compareSentence({ tracks, sources, risenFloor, risenElsewhere }: SentenceInput): string {
  const meant = tracks.filter((track) => sources.length === 0 || sources.includes(track.source ?? ''));
  const others = tracks.filter((track) => !meant.includes(track));
  const judged = CHANGES.some(([status]) => countOf(meant, status) > 0);
  const unjudged = aboutUnjudged(meant, risenFloor);
  return [
    // With nothing judged the reason follows as part of the same thought, without counting the spurs twice.
    judged || unjudged === '' ? aboutMeant(meant, sources) : aboutMeant(meant, sources).replace(/\.$/, ':'),
    judged ? unjudged : lowerFirst(unjudged.replace(/ cannot be judged: /, ' hidden, since ')),
    aboutWorse(meant, sources.length === 0 ? 'There are' : 'Of the same source there are'),
    aboutWorse(others, 'Elsewhere there are'),
    risenElsewhere === null
      ? ''
      : `Elsewhere ${countText(risenElsewhere.spurs)} cannot be judged: ${roseText(risenElsewhere)}.`,
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function aboutMeant(tracks: readonly Track[], sources: readonly string[]): string {
  const owner = sources.join(' and ');
  const before = tracks.filter((track) => track.beforeSpur !== null);
  const whose = owner === '' ? 'the' : `${owner}’s`;
  if (before.length === 0) return owner === '' ? 'There was no spur before.' : `${owner} had no spur before.`;
  const counted = CHANGES.map(([status, word]) => ({ word, count: countOf(before, status) })).filter(
    ({ count }) => count > 0,
  );
  const [first, ...rest] = counted;
  if (first === undefined) {
    return before.length === 1
      ? `${capital(whose)} one spur cannot be judged.`
      : `None of ${whose} ${countText(before.length)} spurs can be judged.`;
  }
  if (before.length === 1) return `${capital(whose)} one spur is ${first.word}.`;
  if (first.count === before.length) {
    return `${before.length === 2 ? 'Both' : `All ${countText(before.length)}`} of ${whose} spurs are ${first.word}.`;
  }
  const opening = `${capital(countText(first.count))} of ${whose} ${countText(before.length)} spurs ${first.word}`;
  return `${[opening, ...rest.map(({ word, count }) => `${countText(count)} ${word}`)].join(', ')}.`;
}

function aboutUnjudged(tracks: readonly Track[], risenFloor: RisenFloor | null): string {
  // Lines seen only after may be hidden or outside on the earlier side: aboutWorse speaks of those.
  const before = tracks.filter((track) => track.beforeSpur !== null);
  const hidden = countOf(before, 'hidden');
  const uncovered = countOf(before, 'uncovered');
  const sentences: string[] = [];
  if (hidden > 0) sentences.push(`${capital(countText(hidden))} cannot be judged: ${whyHidden(hidden, risenFloor)}.`);
  if (uncovered > 0)
    sentences.push(`${capital(countText(uncovered))} ${uncovered === 1 ? 'lies' : 'lie'} outside the later span.`);
  return sentences.join(' ');
}

function whyHidden(hidden: number, risenFloor: RisenFloor | null): string {
  if (risenFloor === null) return `the noise of the later capture would hide ${hidden === 1 ? 'it' : 'them'}`;
  if (risenFloor.spurs === hidden) return roseText(risenFloor);
  return `${roseText(risenFloor)} under ${countText(risenFloor.spurs)}, and noise would hide the others`;
}

function roseText(risenFloor: RisenFloor): string {
  return `the floor rose ${formatDecimal(risenFloor.riseDb)} dB at ${rangeText(risenFloor)}`;
}

function aboutWorse(tracks: readonly Track[], opening: string): string {
  const parts = (
    [
      ['new', 'new'],
      ['back', 'back again'],
    ] as const
  )
    .map(([status, word]) => ({ word, count: countOf(tracks, status) }))
    .filter(({ count }) => count > 0)
    .map(({ word, count }) => `${countText(count)} ${word}`);
  // Stronger lines of the meant source are in the first sentence already.
  const stronger = opening.startsWith('Elsewhere') ? countOf(tracks, 'stronger') : 0;
  if (stronger > 0) parts.push(`${countText(stronger)} stronger`);
  if (parts.length === 0) return '';
  const single = parts[0]!.startsWith('one ');
  return `${single ? opening.replace('are', 'is') : opening} ${parts.join(', ')}.`;
}

/** `2.6–5.6 MHz`: three significant digits are enough to find the place in the plot. */
function rangeText({ lowHz, highHz }: RisenFloor): string {
  const [low, high] = [lowHz, highHz].map((hz) => Number(hz.toPrecision(3))) as [number, number];
  if (low === high) return formatFrequency(low);
  const prefix = prefixFor(high);
  return `${formatFrequency(low, null, prefix).split(' ')[0]}–${formatFrequency(high, null, prefix)}`;
}

function countOf(tracks: readonly Track[], status: TrackStatus): number {
  return tracks.filter((track) => track.status === status).length;
}

function capital(text: string): string {
  return text === 'the'
    ? 'The'
    : /^(none|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b/.test(text)
      ? text[0]!.toUpperCase() + text.slice(1)
      : text;
}

function lowerFirst(text: string): string {
  return text === '' ? text : text[0]!.toLowerCase() + text.slice(1);
}
